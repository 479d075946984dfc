"""Drawings are shapes; these tests read the shapes and the three ways of showing them."""

import xml.etree.ElementTree as ElementTree
from decimal import Decimal
from io import BytesIO
from itertools import pairwise

import pytest
from PIL import Image

from instruments.calc.touchweight import Reading, verdict
from instruments.drawings.geometry import dashes, inset
from instruments.drawings.keyboard import NARROW, keyboard_drawing
from instruments.drawings.picture import to_jpeg, to_png
from instruments.drawings.shapes import Drawing, Line, Path, Rect, Text, hatched, mix
from instruments.drawings.svg import to_svg
from instruments.drawings.touch_chart import Curve, touch_drawing

COMPASSES = [(16, 49), (4, 73), (1, 85), (1, 88), (-8, 97)]


def count(drawing, look):
    return sum(look in shape.classes.split() for shape in drawing.shapes)


@pytest.mark.parametrize(
    ("first_key", "key_count", "naturals", "sharps", "absent"),
    [(16, 49, 29, 20, 39), (4, 73, 43, 30, 15), (1, 85, 50, 35, 3), (1, 88, 52, 36, 0), (-8, 97, 57, 40, 0)],
)
def test_a_keyboard_shows_the_keys_it_has_and_ghosts_the_rest(first_key, key_count, naturals, sharps, absent):
    drawing = keyboard_drawing(first_key, key_count)
    assert (count(drawing, "key-natural"), count(drawing, "key-sharp"), count(drawing, "key-absent")) == (
        naturals,
        sharps,
        absent,
    )


def test_absent_keys_are_dotted():
    drawing = keyboard_drawing(1, 85)
    assert all(shape.dash for shape in drawing.shapes if "key-absent" in shape.classes)


def test_a_keyboard_is_named_and_described_in_words():
    drawing = keyboard_drawing(1, 85)
    assert drawing.name == "Keyboard of 85 keys, A0 to A7"
    assert drawing.description == "50 naturals and 35 sharps; the top three notes were not made."


def test_labels_stand_at_each_c_and_at_both_ends():
    labels = [shape.text for shape in keyboard_drawing(1, 85).shapes if isinstance(shape, Text)]
    assert labels == ["A0", "C1", "C2", "C3", "C4", "C5", "C6", "C7", "A7"]


def test_a_marked_key_is_told_by_more_than_colour():
    plain, marked = keyboard_drawing(1, 85), keyboard_drawing(1, 85, marked={41: "sticks"})
    assert len(marked.shapes) == len(plain.shapes) + 1
    assert [shape.title for shape in marked.shapes if "key-marked" in shape.classes] == ["C♯4, sticks"]


def test_a_mark_outside_the_compass_is_not_drawn():
    assert count(keyboard_drawing(1, 85, marked={88: "sticks"}), "key-marked") == 0


@pytest.mark.parametrize(("first_key", "key_count"), COMPASSES)
def test_a_keyboard_is_well_formed_and_carries_no_style(first_key, key_count):
    svg = to_svg(keyboard_drawing(first_key, key_count))
    elements = list(ElementTree.fromstring(svg).iter())
    assert not [element for element in elements if "style" in element.attrib or "id" in element.attrib]


def test_words_are_escaped_in_text_titles_and_attributes():
    drawing = Drawing(10, 10, name='"><script>', description="<b>")
    drawing.add(Text(1, 1, "<i>", fill="#000000", title="a & b", data=(("key", '"x"'),)))
    root = ElementTree.fromstring(to_svg(drawing))
    text = root.find("{http://www.w3.org/2000/svg}text")
    assert root.attrib["aria-label"] == '"><script>'
    assert text.attrib["data-key"] == '"x"'
    assert "".join(text.itertext()) == "a & b<i>"


def chart(*readings, first_key=1, key_count=85, curve=None, **cut):
    judged = verdict([Reading(*reading) for reading in readings], first_key=first_key, key_count=key_count)
    return touch_drawing(first_key, key_count, judged.keys, curve=curve, **cut)


ON_A_PHONE = 300  # CSS pixels left for a drawing on a page of 360


def narrow_drawings(first_key, key_count):
    yield keyboard_drawing(first_key, key_count, cut=NARROW)
    yield chart((40, 50, 25), (41, 60, 20), first_key=first_key, key_count=key_count, cut=NARROW)


@pytest.mark.parametrize(("first_key", "key_count"), COMPASSES)
def test_the_whole_compass_can_be_read_on_a_phone(first_key, key_count):
    for drawing in narrow_drawings(first_key, key_count):
        smallest = min(shape.size for shape in drawing.shapes if isinstance(shape, Text))
        assert smallest * ON_A_PHONE / drawing.width >= 9


@pytest.mark.parametrize(("first_key", "key_count"), COMPASSES)
def test_on_a_phone_no_words_run_out_of_the_drawing_or_into_each_other(first_key, key_count):
    for drawing in narrow_drawings(first_key, key_count):
        lines = {}
        for text in (shape for shape in drawing.shapes if isinstance(shape, Text)):
            width = 0.5 * text.size * len(text.text)
            left = text.x - {"start": 0, "middle": width / 2, "end": width}[text.anchor]
            assert left >= 0 and left + width <= drawing.width and text.y <= drawing.height
            lines.setdefault(text.y, []).append((left, left + width))
        for spans in lines.values():
            spans.sort()
            assert all(before[1] <= after[0] for before, after in pairwise(spans))


@pytest.mark.parametrize(("first_key", "key_count"), COMPASSES)
def test_points_stand_over_their_keys(first_key, key_count):
    ends = (first_key, first_key + key_count - 1)
    drawing = chart(*((key, 50, 25) for key in ends), first_key=first_key, key_count=key_count)
    at = [shape.cx for shape in drawing.shapes if shape.title.endswith("g down")]
    own = [shape for shape in drawing.shapes if isinstance(shape, Rect) and shape.data]
    assert at == [own[0].x + own[0].width / 2, max(key.x + key.width / 2 for key in own)]


def test_an_outlier_has_a_stem_down_to_its_key():
    drawing = chart((40, 60))
    (point,) = [shape for shape in drawing.shapes if shape.title.startswith("C4: 60 g down, outside")]
    stems = [
        shape for shape in drawing.shapes if isinstance(shape, Line) and shape.x1 == shape.x2 == point.cx
    ]
    assert len(stems) == 1


def test_an_outlier_tells_why():
    titles = [shape.title for shape in chart((41, 60, 20)).shapes]
    assert "C♯4: 60 g down, outside the curve: friction" in titles


def test_a_key_on_the_curve_has_no_stem():
    drawing = chart((43, 50, 25))
    assert not [shape for shape in drawing.shapes if isinstance(shape, Line) and shape.x1 == shape.x2]


def test_outliers_are_listed_in_words():
    assert chart((40, 50), (41, 60)).description == "1 outside the curve: C♯4."


def test_a_chart_without_readings_says_so():
    assert chart().description == "Nothing has been weighed yet."


def test_a_reading_far_off_stretches_the_scale_to_hold_it():
    drawing = chart((40, 104))
    (point,) = [shape for shape in drawing.shapes if shape.title.startswith("C4: 104 g down")]
    assert 0 < point.cy < drawing.height


def test_the_curve_of_a_lighter_touch_runs_lower():
    usual, lighter = chart(), chart(curve=Curve(Decimal(48), Decimal(46), Decimal(44)))
    (usual_line,), (lighter_line,) = (
        [shape for shape in drawing.shapes if isinstance(shape, Path) and shape.stroke]
        for drawing in (usual, lighter)
    )
    assert lighter_line.steps[0][2] > usual_line.steps[0][2]


def test_a_picture_file_has_the_asked_width_and_shape():
    image = Image.open(BytesIO(to_png(keyboard_drawing(1, 85), width_px=520)))
    assert (image.format, image.width) == ("PNG", 520)


def test_a_jpeg_carries_no_metadata():
    assert not Image.open(BytesIO(to_jpeg(keyboard_drawing(1, 85), width_px=300))).getexif()


def test_hatching_stays_inside_its_rectangle():
    lines = hatched(Rect(10, 20, 30, 12), gap=4, stroke="#000000")
    assert all(10 <= x <= 40 for line in lines for x in (line.x1, line.x2))
    assert all(20 <= y <= 32 for line in lines for y in (line.y1, line.y2))


def test_dashes_begin_with_a_mark_and_keep_their_gaps():
    assert dashes([(0, 0), (10, 0)], [2, 3]) == [[(0, 0), (2, 0)], [(5, 0), (7, 0)]]


def test_an_inset_square_is_smaller_on_every_side():
    square = [(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)]
    assert inset(square, 2) == [(2, 2), (8, 2), (8, 8), (2, 8)]


@pytest.mark.parametrize(("share", "colour"), [(0, "#102030"), (1, "#ffffff"), (0.5, "#889098")])
def test_two_colours_mix_by_share(share, colour):
    assert mix("#102030", "#ffffff", share) == colour
