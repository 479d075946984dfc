"""The drawn strip at the compasses of the trade, on the screen, as a picture and on paper."""

from io import BytesIO

import pytest
from PIL import Image

from instruments.calc.compass import is_sharp, top_key
from instruments.drawings.key_strip import KeySign, Row, key_strip_drawing
from instruments.drawings.picture import to_png
from instruments.drawings.svg import to_svg

COMPASSES = [(16, 49), (4, 73), (1, 85), (1, 88), (-8, 97)]
STICKS, SLOW = KeySign("key", "S", "Sticks"), KeySign("action", "T", "Slow to return")
BUZZES, CHIPPED = KeySign("string", "Z", "Buzzes"), KeySign("covering", "C", "Chipped covering")


def signs_on(drawing, kind: str) -> list:
    return [shape for shape in drawing.shapes if f"fault-{kind}" in shape.classes and shape.title]


@pytest.mark.parametrize("rows", [1, 2])
@pytest.mark.parametrize(("first_key", "key_count"), COMPASSES)
def test_every_key_is_drawn_once_and_marked_on_itself(first_key, key_count, rows):
    own = range(first_key, top_key(first_key, key_count) + 1)
    drawing = key_strip_drawing(first_key, key_count, {key: [STICKS] for key in own}, rows=rows)
    drawn = [dict(shape.data)["key"] for shape in drawing.shapes if shape.data]
    assert sorted(map(int, drawn)) == list(own)
    assert len(signs_on(drawing, "key")) == key_count
    for shape in drawing.shapes:
        if hasattr(shape, "width"):
            assert shape.x >= 0 and shape.x + shape.width <= drawing.width
            assert shape.y >= 0 and shape.y + shape.height <= drawing.height


@pytest.mark.parametrize(("first_key", "key_count"), COMPASSES)
def test_absent_notes_of_the_88_are_ghosts(first_key, key_count):
    drawing = key_strip_drawing(first_key, key_count, {})
    ghosts = sum("key-absent" in shape.classes for shape in drawing.shapes)
    own = set(range(first_key, top_key(first_key, key_count) + 1))
    assert ghosts == len(set(range(1, 89)) - own)


def test_the_second_row_begins_where_no_sharp_is_cut():
    low, high = Row(1, 88, low=1, high=39), Row(1, 88, low=40, high=88)
    assert not is_sharp(high.shown_keys[0]) and not is_sharp(low.shown_keys[-1])
    assert len(low.shown_keys) + len(high.shown_keys) == 88


def test_each_kind_of_fault_has_its_own_shape_colour_and_letter():
    drawing = key_strip_drawing(1, 88, {40: [STICKS], 42: [SLOW], 44: [BUZZES], 45: [CHIPPED]})
    shapes = [signs_on(drawing, kind)[0] for kind in ("key", "action", "string", "covering")]
    outlines = {(type(shape).__name__, len(getattr(shape, "steps", ()))) for shape in shapes}
    assert len({shape.fill for shape in shapes}) == 4
    assert outlines == {("Rect", 0), ("Ellipse", 0), ("Path", 5)}
    assert shapes[2].steps != shapes[3].steps
    assert {"S", "T", "Z", "C"} <= {getattr(shape, "text", "") for shape in drawing.shapes}


def test_what_finds_no_room_on_a_key_is_counted():
    drawing = key_strip_drawing(1, 88, {40: [STICKS, SLOW, BUZZES, CHIPPED]})
    assert "+3" in [getattr(shape, "text", "") for shape in drawing.shapes]


def test_the_strip_is_told_in_words():
    drawing = key_strip_drawing(1, 85, {key: [STICKS] for key in (40, 41, 42)} | {44: [STICKS, SLOW]})
    assert drawing.description == "Sticks: C4–D4, E4. Slow to return: E4."
    assert "E4, key 44: sticks, slow to return" in [shape.title for shape in drawing.shapes]
    assert key_strip_drawing(1, 85, {}).description == "No key is marked."


@pytest.mark.parametrize(("first_key", "key_count"), COMPASSES)
def test_the_strip_is_a_picture_on_screen_and_in_a_file(first_key, key_count):
    drawing = key_strip_drawing(first_key, key_count, {40: [STICKS, SLOW], 41: [BUZZES], 51: [CHIPPED]})
    assert to_svg(drawing).count("<text") >= 4
    with Image.open(BytesIO(to_png(drawing, width_px=900))) as picture:
        assert picture.width == 900
        assert (0x8D, 0x2F, 0x2A) in {colour for _, colour in picture.convert("RGB").getcolors(1 << 20)}
