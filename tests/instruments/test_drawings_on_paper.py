from datetime import date
from io import BytesIO

import pytest
from pypdf import PdfReader

from instruments.documents.tags import TaggedCanvas
from instruments.drawings.instrument_picture import Subject, instrument_drawing
from instruments.drawings.keyboard import keyboard_drawing
from instruments.drawings.life_line import Entry, life_line
from instruments.drawings.paper import draw_on, height_at
from instruments.drawings.shapes import Drawing, Ellipse, Line, Path, Rect, Shape, Text


def printed(drawing, width=480):
    into = BytesIO()
    canvas = TaggedCanvas(into)
    draw_on(canvas, drawing, width=width)
    canvas.save()
    return PdfReader(into).pages[0]


def operators(*shapes: Shape, **drawing) -> str:
    page = printed(Drawing(100, 50, "test", shapes=list(shapes), **drawing), width=200)
    return " ".join(page.get_contents().get_data().decode("latin-1").split())


@pytest.mark.parametrize(("first_key", "key_count"), [(16, 49), (4, 73), (1, 85), (1, 88), (-8, 97)])
def test_a_printed_keyboard_keeps_its_labels_readable(first_key, key_count):
    labels = printed(keyboard_drawing(first_key, key_count)).extract_text().split()
    assert "C4" in labels and "C5" in labels


def test_a_printed_drawing_keeps_its_shape_at_any_width():
    drawing = keyboard_drawing(1, 85)
    assert height_at(drawing, width=480) == pytest.approx(480 * drawing.height / drawing.width)


def test_a_drawing_is_turned_over_and_scaled_so_that_it_stands_upright():
    assert "q 2 0 0 -2 -20 110 cm" in operators(Rect(0, 0, 1, 1, fill="#000000"), left=10, top=5)


@pytest.mark.parametrize(
    ("shape", "code"),
    [
        (Rect(1, 2, 3, 4, fill="#ff0000"), "1 0 0 rg 1 2 3 4 re f"),
        (Rect(1, 2, 3, 4, stroke="#0000ff"), "0 0 1 RG 1 w [] 0 d 1 2 3 4 re S"),
        (Rect(1, 2, 3, 4, fill="#ffffff", stroke="#000000"), "1 2 3 4 re B"),
        (Rect(1, 2, 3, 4), "1 2 3 4 re n"),
        (Line(0, 0, 9, 9, stroke="#000000", dash=(1.5, 3)), "[1.5 3] 0 d 0 0 m 9 9 l S"),
        (Path((("M", 0, 0), ("C", 1, 1, 2, 2, 3, 3), ("Z",)), fill="#000000"), "0 0 m 1 1 2 2 3 3 c h f"),
    ],
)
def test_each_shape_is_written_in_the_terms_of_a_pdf(shape, code):
    assert code in operators(shape)


def test_round_shapes_are_four_curves():
    assert operators(Ellipse(20, 20, 10, 5, fill="#000000")).count(" c ") == 4
    assert operators(Rect(0, 0, 20, 10, radius=99, fill="#000000")).count(" c ") == 4


def test_a_background_lies_below_everything():
    code = operators(Rect(1, 1, 1, 1, fill="#000000"), background="#ffffff")
    assert code.index("0 0 100 50 re f") < code.index("1 1 1 1 re f")


@pytest.mark.parametrize(("anchor", "at"), [("start", 100), ("middle", 80), ("end", 60)])
def test_words_stand_by_their_anchor_in_our_type(anchor, at):
    text = Text(50, 25, "C\u266f4", size=10, anchor=anchor, face="serif")
    page, found = printed(Drawing(100, 50, "test", shapes=[text]), width=200), []
    page.extract_text(visitor_text=lambda words, _, place, *__: found.append((words.strip(), *place[4:])))
    ((words, x, y),) = [each for each in found if each[0]]
    assert words == "C#4"
    assert x == pytest.approx(at, abs=7)
    assert y == 50


def test_a_shape_nobody_knows_is_refused():
    with pytest.raises(TypeError, match="No way to draw"):
        operators(Shape(fill="#000000"))


@pytest.mark.parametrize(
    ("kind", "view"), [("upright", "front"), ("grand", "front"), ("grand", "above"), ("square", "front")]
)
def test_a_printed_instrument_says_that_it_is_drawn(kind, view):
    subject = Subject(kind=kind, first_key=1, key_count=85, maker="Halden & Rook", seed="26-014")
    assert "drawing" in printed(instrument_drawing(subject, view=view)).extract_text()


def test_a_printed_life_line_keeps_its_words_and_loses_only_its_links():
    life = [
        Entry("Made", "about 1912", "1910/1914", href="#statement-1"),
        Entry("One family", "as told", "1921/2024", "told", lasts=True, href="#statement-2"),
    ]
    page = printed(life_line(life, today=date(2026, 4, 12), width=760))
    assert "Made about 1912" in " ".join(page.extract_text().split())
    assert "/Annots" not in page
