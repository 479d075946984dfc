import xml.etree.ElementTree as ElementTree
from decimal import Decimal

import pytest

from instruments.drawings.finish import Variety, finish_of
from instruments.drawings.instrument_picture import Subject, case_of, instrument_drawing
from instruments.drawings.plates import PLATES, plate
from instruments.drawings.shapes import Rect, Text
from instruments.drawings.svg import to_svg


def subject(**fields):
    return Subject(**({"kind": "upright", "first_key": 1, "key_count": 85, "seed": "26-014"} | fields))


@pytest.mark.parametrize(
    ("kind", "view"), [("upright", "front"), ("grand", "front"), ("grand", "above"), ("square", "front")]
)
@pytest.mark.parametrize("key_count", [49, 73, 85, 88])
def test_every_kind_and_compass_is_drawn_without_style_or_id(kind, view, key_count):
    svg = to_svg(instrument_drawing(subject(kind=kind, key_count=key_count), view=view))
    elements = list(ElementTree.fromstring(svg).iter())
    assert len(elements) > 30
    assert not [element for element in elements if "style" in element.attrib or "id" in element.attrib]


def test_the_drawing_says_that_it_is_one():
    drawing = instrument_drawing(subject(height_cm=122, case_wood="Walnut"))
    assert drawing.name == "Drawing of an upright piano, walnut"
    assert "Not a photograph." in drawing.description
    assert "drawing" in [shape.text for shape in drawing.shapes if isinstance(shape, Text)]


def test_what_was_not_measured_is_owned_up_to():
    assert "nothing having been measured" in instrument_drawing(subject()).description


def test_measures_are_said_without_idle_noughts():
    assert "122 cm high, 148.5 cm wide" in (
        instrument_drawing(subject(height_cm=Decimal("122.0"), width_cm=Decimal("148.5"))).description
    )


def test_two_uprights_share_one_scale():
    low, high = (instrument_drawing(subject(height_cm=height)) for height in (105, 135))
    assert low.width == high.width


def test_the_same_instrument_is_always_drawn_alike():
    assert to_svg(instrument_drawing(subject())) == to_svg(instrument_drawing(subject()))


def test_neighbours_in_stock_do_not_look_alike():
    drawn = {to_svg(instrument_drawing(subject(seed=f"26-{number:03d}", maker=""))) for number in range(24)}
    assert len(drawn) > 20


def test_a_drawn_upright_has_its_own_number_of_sharps():
    drawing = instrument_drawing(subject(key_count=85))
    sharps = [shape for shape in drawing.shapes if isinstance(shape, Rect) and 1.3 < shape.width < 1.5]
    assert len(sharps) == 35


def test_a_slip_of_the_pen_does_not_break_the_picture():
    assert case_of(subject(height_cm=12)).height == 95


@pytest.mark.parametrize(
    ("wood", "finish", "colour"),
    [
        ("Walnut", "", "#613d28"),
        ("Mahogany", "ebonised", "#2b2725"),
        ("Figured walnut", "", "#613d28"),
        ("Painted", "cream", "#dfd2b6"),
        ("", "", "#66432c"),
        ("Rosewood", "", "#4f2622"),
    ],
)
def test_the_case_takes_the_colour_of_its_words(wood, finish, colour):
    assert finish_of(wood, finish).face == colour


def test_variety_is_steady_and_within_its_bounds():
    variety = Variety("26-014")
    assert variety.between("x", 2, 3) == variety.between("x", 2, 3)
    assert 2 <= variety.between("x", 2, 3) <= 3


@pytest.mark.parametrize("subject_of_plate", PLATES)
def test_every_plate_is_labelled_as_a_drawing(subject_of_plate):
    drawing = plate(subject_of_plate, seed="26-014", serial="31447", maker="Halden & Rook")
    assert drawing.name.startswith("Drawing: ")
    assert drawing.name in [shape.text for shape in drawing.shapes if isinstance(shape, Text)]


def test_the_serial_plate_shows_the_serial():
    drawing = plate("serial", serial="31447")
    assert "31447" in [shape.text for shape in drawing.shapes if isinstance(shape, Text)]
