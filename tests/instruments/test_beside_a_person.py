"""The drawing of size is measured, not looked at: what it draws is as large as the figures it says."""

import pytest

from instruments.drawings.beside_a_person import DOOR_TALL_CM, DOOR_WIDE_CM, PERSON_CM, beside_a_person
from instruments.drawings.beside_a_person import size_sentence as words
from instruments.drawings.instrument_picture import Subject
from instruments.drawings.shapes import Ellipse, Path, Rect, Text


def subject(**known) -> Subject:
    return Subject(**{"kind": "upright", "first_key": 1, "key_count": 85} | known)


def numbers_of(path: Path) -> list[tuple[float, float]]:
    return [step[-2:] for step in path.steps if len(step) > 2]


def test_the_person_the_doorway_and_the_piano_stand_on_one_floor_in_one_scale():
    drawing = beside_a_person(subject(height_cm=122, width_cm=148))
    door = next(each for each in drawing.shapes if isinstance(each, Rect) and each.height == DOOR_TALL_CM)
    head = next(each for each in drawing.shapes if isinstance(each, Ellipse) and each.cy < -150)
    case = [each for each in drawing.shapes if isinstance(each, Rect) and -80 < each.x < 80]
    assert (door.width, door.y + door.height) == (DOOR_WIDE_CM, 0)
    assert head.cy - head.ry == pytest.approx(-PERSON_CM, abs=1)
    assert min(each.y for each in case) == pytest.approx(-122, abs=0.1)


@pytest.mark.parametrize("kind", ["upright", "grand", "square"])
@pytest.mark.parametrize("measures", [{}, {"height_cm": 190, "width_cm": 260, "length_cm": 320}])
def test_nothing_is_drawn_outside_the_picture_or_over_a_neighbour(kind, measures):
    drawing = beside_a_person(subject(kind=kind, **measures))
    figure = next(each for each in drawing.shapes if isinstance(each, Path))
    reach = [x for x, _ in numbers_of(figure)]
    door = next(each for each in drawing.shapes if isinstance(each, Rect) and each.height == DOOR_TALL_CM)
    assert drawing.left < door.x and door.x + door.width < min(reach)
    half = (measures.get("length_cm", 178) if kind == "grand" else measures.get("width_cm", 140)) / 2
    assert max(reach) < -half
    for each in drawing.shapes:
        if isinstance(each, Text):
            assert drawing.left < each.x < drawing.left + drawing.width
            assert drawing.top < each.y - each.size and each.y < drawing.top + drawing.height


def test_the_figure_is_the_same_on_both_sides():
    drawing = beside_a_person(subject())
    figure = next(each for each in drawing.shapes if isinstance(each, Path))
    points = numbers_of(figure)
    middle = (min(x for x, _ in points) + max(x for x, _ in points)) / 2
    right = {(round(x - middle, 3), y) for x, y in points if x > middle}
    left = {(round(middle - x, 3), y) for x, y in points if x < middle}
    assert right == left


@pytest.mark.parametrize(
    ("known", "said"),
    [
        (
            {"height_cm": 122, "width_cm": 148},
            "It is 122 cm tall and 148 cm wide. To the same scale: a person",
        ),
        ({"height_cm": 122}, "How wide it is has not been measured; that is drawn at a usual size."),
        ({}, "How tall and wide it is has not been measured"),
        ({"kind": "grand", "length_cm": 168}, "It is 168 cm long. How tall and wide it is"),
    ],
)
def test_the_figures_stand_in_words_and_what_is_not_measured_is_said(known, said):
    assert said in words(subject(**known))
    assert words(subject(**known)).endswith("a person of 170 cm, and a doorway 76 cm wide and 198 cm tall.")
