from io import BytesIO

import pytest
from pypdf import PdfReader
from reportlab.graphics import renderPDF

from instruments.drawings.instrument_picture import Subject, instrument_drawing
from instruments.drawings.keyboard import keyboard_drawing
from instruments.drawings.paper import to_reportlab


def printed(drawing, width=480):
    into = BytesIO()
    into.write(renderPDF.drawToString(to_reportlab(drawing, width=width)))
    return PdfReader(into).pages[0]


@pytest.mark.parametrize(("first_key", "key_count"), [(16, 49), (4, 73), (1, 85), (1, 88), (-8, 97)])
def test_a_printed_keyboard_keeps_its_labels_readable(first_key, key_count):
    labels = printed(keyboard_drawing(first_key, key_count)).extract_text().split()
    assert "C4" in labels and "C5" in labels


def test_a_printed_keyboard_has_the_width_it_was_given():
    page = to_reportlab(keyboard_drawing(1, 85), width=480)
    drawing = keyboard_drawing(1, 85)
    assert (page.width, round(page.height, 6)) == (480, round(480 * drawing.height / drawing.width, 6))


@pytest.mark.parametrize(
    ("kind", "view"), [("upright", "front"), ("grand", "front"), ("grand", "above"), ("square", "front")]
)
def test_a_printed_instrument_says_that_it_is_drawn(kind, view):
    subject = Subject(kind=kind, first_key=1, key_count=85, maker="Halden & Rook", seed="26-014")
    assert "drawing" in printed(instrument_drawing(subject, view=view)).extract_text()
