from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from instruments.calc import touchweight


# Source: CAUT list post, moypiano.com/ptg/caut.php attachment 65/a6/c4/bf (52/28, and one gram of friction
# more); the rest derived from (D + U) / 2 and (D - U) / 2.
@pytest.mark.parametrize(
    ("down", "up", "balance", "friction"),
    [
        (52, 28, "40", "12"),
        (53, 27, "40", "13"),
        (60, 22, "41", "19"),
        (50, 25, "37.5", "12.5"),
        (7, 1, "4", "3"),
    ],
)
def test_balance_weight_and_friction_follow_from_the_two_readings(down, up, balance, friction):
    found = (touchweight.balance_weight_g(down, up), touchweight.friction_g(down, up))
    assert found == (Decimal(balance), Decimal(friction))


# Source: derived from the same formulas.
def test_balance_weight_and_friction_give_the_readings_back():
    assert touchweight.down_and_up_g(40, 15) == (55, 25)


@pytest.mark.parametrize("value", ["50.5", 50.5, Decimal("50.5")])
def test_text_float_and_decimal_weights_are_equally_exact(value):
    assert touchweight.friction_g(value, "25.1") == Decimal("12.7")


@pytest.mark.parametrize(
    ("down", "up", "reason"),
    [(40, 41, "above the down-weight"), (-1, 0, "negative"), (50, -1, "negative"), ("x", 1, "not a number")],
)
def test_readings_that_cannot_be_are_refused(down, up, reason):
    with pytest.raises(ValueError, match=reason):
        touchweight.friction_g(down, up)


@given(st.integers(0, 100), st.integers(0, 100))
def test_balance_and_friction_always_add_up_to_the_down_weight(one, other):
    down, up = max(one, other), min(one, other)
    assert touchweight.balance_weight_g(down, up) + touchweight.friction_g(down, up) == down


# Source: the house curve, T = 52 - 4 (k - 1) / (N - 1); own choice.
@pytest.mark.parametrize(
    ("position", "key_count", "grams"),
    [(1, 88, 52), (88, 88, 48), (43, 85, 50), (1, 85, 52), (85, 85, 48), (22, 85, 51), (64, 85, 49)],
)
def test_the_house_curve_runs_from_52_over_50_to_48(position, key_count, grams):
    assert touchweight.target_g(position, key_count) == grams


@given(st.integers(2, 108), st.data())
def test_the_house_curve_is_one_straight_line(key_count, data):
    position = data.draw(st.integers(1, key_count))
    line = 52 - Fraction(4 * (position - 1), key_count - 1)
    assert abs(Fraction(touchweight.target_g(position, key_count)) - line) < Fraction(1, 10**20)


def test_a_customers_curve_bends_in_the_middle():
    weights = [touchweight.target_g(key, 5, bass_g=54, middle_g="49.5", treble_g=48) for key in range(1, 6)]
    assert weights == [54, Decimal("51.75"), Decimal("49.5"), Decimal("48.75"), 48]


@pytest.mark.parametrize(("position", "key_count"), [(0, 88), (89, 88), (1, 1)])
def test_a_position_off_the_keyboard_is_refused(position, key_count):
    with pytest.raises(ValueError, match="no position"):
        touchweight.target_g(position, key_count)


# Source: first moments, S. Birkett, pianotech 26 Jul 1995 (moypiano.com, 1995-July/002409); figures derived.
@pytest.mark.parametrize(
    ("mass", "distance", "front", "grams"),
    [(14, 110, 220, "7"), ("7.7", 200, 220, "7"), (9, 150, 225, "6"), (10, -50, 200, "-2.5")],
)
def test_a_lead_works_by_its_distance_from_the_rail(mass, distance, front, grams):
    assert touchweight.lead_effect_g(mass, distance, front) == Decimal(grams)


@pytest.mark.parametrize(("distance", "grams"), [(150, "9"), (200, "6.75")])
def test_a_lead_further_forward_can_be_smaller(distance, grams):
    assert touchweight.lead_needed_g(6, distance, 225) == Decimal(grams)


# Source: second moments, the same post; figures derived.
@pytest.mark.parametrize(("mass", "distance", "inertia"), [("7.7", 200, 308000), (14, 110, 169400)])
def test_a_lead_further_forward_costs_more_inertia(mass, distance, inertia):
    assert touchweight.lead_inertia_g_mm2(mass, distance) == inertia


@pytest.mark.parametrize(
    ("mass", "distance", "front", "reason"), [(14, 110, 0, "above 0 mm"), (-1, 110, 220, "negative")]
)
def test_a_lead_that_cannot_be_is_refused(mass, distance, front, reason):
    with pytest.raises(ValueError, match=reason):
        touchweight.lead_effect_g(mass, distance, front)


def test_a_lead_over_the_rail_is_refused():
    with pytest.raises(ValueError, match="changes nothing"):
        touchweight.lead_needed_g(6, 0, 220)


# Source: density of lead from memory; 12.7 mm by 10 mm derived.
def test_a_round_lead_is_weighed_by_its_measure():
    assert float(touchweight.lead_mass_g("12.7", 10)) == pytest.approx(14.37, abs=0.005)


# Source: D. Stanwood, pianotech 11 Dec 2003; the boundaries belong to the lower band (own choice).
@pytest.mark.parametrize(
    ("friction", "band"), [(1, "low"), (3, "low"), ("3.5", "medium"), (6, "medium"), ("6.5", "high")]
)
def test_friction_of_the_key_alone_has_published_bands(friction, band):
    assert touchweight.key_stick_friction_band(friction) == band
