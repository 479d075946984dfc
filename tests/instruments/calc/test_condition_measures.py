from decimal import Decimal

import pytest

from instruments.calc.condition.measures import measure_faults, measured_words
from instruments.library import MEASURES_FILE, condition_measures, table_of
from instruments.states import Part


@pytest.mark.parametrize(
    ("said", "words"),
    [
        (("crown", Decimal("3.000"), "", "mm"), "crown: 3 mm"),
        (("lowest torque", Decimal("5.80"), "", "N·m"), "lowest torque: 5.8 N·m"),
        (("", Decimal("5.8"), "", "N·m"), "5.8 N·m"),
        (("grain lines per cm", Decimal(9), "", "lines per cm"), "grain lines per cm: 9"),
        (("free swings, bass", Decimal(6), "", "swings"), "free swings, bass: 6"),
        (("A5 sounds for", Decimal("12.5"), "", "s"), "A5 sounds for: 12.5 s"),
        (("lifted sharp", None, "stays", ""), "lifted sharp: stays"),
    ],
)
def test_what_was_measured_in_words(said, words):
    assert measured_words(*said) == words


def test_the_measures_that_are_shipped_are_sound():
    assert measure_faults(table_of(MEASURES_FILE), Part.values) == []


def test_every_measure_says_how_it_is_taken_and_where_that_comes_from():
    assert all(measure.how and measure.source for measure in condition_measures())


def test_a_measure_needs_a_unit_or_answers_and_room_between_its_bounds():
    row = {"code": "dip", "part": "keys", "name": "dip", "how": "A rule.", "source": "a bench"}
    figures = row | {"code": "blow", "unit": "mm", "least": 5, "most": 5}
    assert measure_faults([row, figures, figures], ["keys"]) == [
        "blow stands there twice.",
        "dip needs either a unit or answers.",
        "blow: its bounds leave nothing between them.",
        "blow: its bounds leave nothing between them.",
    ]
