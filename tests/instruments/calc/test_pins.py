from decimal import Decimal

import pytest

from instruments.calc import pins


# Source: NIST SP 811, from memory; figures derived.
@pytest.mark.parametrize(
    ("pounds_inches", "newton_metres"),
    [(30, "3.3895"), (50, "5.6492"), (80, "9.0388"), (100, "11.2985"), (150, "16.9477")],
)
def test_inch_pounds_become_newton_metres(pounds_inches, newton_metres):
    assert round(pins.newton_metres(pounds_inches, "lbf·in"), 4) == Decimal(newton_metres)


@pytest.mark.parametrize(
    ("value", "unit", "into", "expected"),
    [(1, "lbf·in", "kgf·cm", "1.152125"), (1, "lbf·ft", "lbf·in", "12"), (1, "lbf·ft", "N·m", "1.355818")],
)
def test_units_of_torque_convert_into_each_other(value, unit, into, expected):
    assert round(pins.converted(value, unit, into), 6) == Decimal(expected)


# Source: T. Farrell, pianotech 20 Jul 2006; howardpianoindustries.com, "Pounding loose tuning pins".
@pytest.mark.parametrize(
    ("pounds_inches", "name"),
    [
        (28, "published as failing"),
        (30, "published as failing"),
        (31, "marginal, judgement"),
        (45, "marginal, judgement"),
        ("49.9", "marginal, judgement"),
        (50, "aged, holds"),
        (55, "aged, holds"),
        (70, "aged, holds"),
        (90, "good"),
        (150, "good"),
        (160, "over-tight"),
    ],
)
def test_a_reading_falls_into_a_published_band(pounds_inches, name):
    assert pins.torque_band(pounds_inches, "lbf·in").name == name


def test_the_gap_nobody_published_is_left_to_judgement():
    assert "nothing is published" in pins.torque_band(40, "lbf·in").sentence


@pytest.mark.parametrize(
    ("newton_metres", "name"), [("3.3895", "published as failing"), ("5.6492", "aged, holds")]
)
def test_a_band_edge_survives_conversion(newton_metres, name):
    assert pins.torque_band(newton_metres).name == name


def test_pins_are_counted_below_the_shops_own_lines():
    assert pins.counts_below([4, "5.0", 7, 12], [5, 6]) == [1, 2]


@pytest.mark.parametrize(
    ("value", "unit", "reason"),
    [(-1, "N·m", "negative"), ("tight", "N·m", "not a number"), (1, "furlong", "not a unit")],
)
def test_a_torque_that_cannot_be_is_refused(value, unit, reason):
    with pytest.raises(ValueError, match=reason):
        pins.torque_band(value, unit)
