"""Lifting: HSE screening figures, INDG143 and L23, from memory, as CHECKS section 12 has them."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.calc.access import (
    LIFTING,
    access_cautions,
    doors,
    flight_words,
    flights,
    floor_words,
    team_screening_kg,
    turns_words,
)


@pytest.mark.parametrize(
    ("people", "kg"),
    [(1, 25), (2, 33), (3, 37), (4, 50), (6, 75)],  # 25; two thirds of 50; half of 75, 100 and 150
)
def test_a_team_is_screened_at_part_of_its_sum(people, kg):
    assert team_screening_kg(people) == kg


def test_nobody_lifts_by_nobody():
    with pytest.raises(ValueError, match="one person at least"):
        team_screening_kg(0)


def test_230_kg_needs_equipment_however_many_come():
    """CHECKS section 12: a piano of 230 kg with four people, equipment required."""
    said = access_cautions(weight_kg=Decimal(230))
    assert said[0] == LIFTING
    assert "230 kg, and the screening figure for four people is 50 kg: equipment is needed" in said[1]


@pytest.mark.parametrize(
    ("facts", "words"),
    [
        ({"steps": (14, 12)}, "26 steps are carried"),
        ({"steps": (1,)}, "1 step is carried"),
        ({"parking_m": 41}, "41 m away; a quote may assume 40 m"),
        ({"door_widths_cm": (82, 60), "depth_cm": Decimal(60)}, "door is 60 cm and the piano 60 cm"),
    ],
)
def test_what_surprises_a_mover_is_said(facts, words):
    assert any(words in each for each in access_cautions(**facts))


@pytest.mark.parametrize(
    "facts",
    [
        {},
        {"steps": (14,), "has_lift": True},
        {"parking_m": 40},
        {"door_widths_cm": (82,), "depth_cm": Decimal(60)},
        {"door_widths_cm": (), "depth_cm": Decimal(60)},
    ],
)
def test_what_is_usual_adds_nothing_to_the_one_rule(facts):
    assert access_cautions(**facts) == [LIFTING]


@pytest.mark.parametrize(
    ("typed", "read"),
    [("", ()), ("14", (14,)), ("14, 12", (14, 12)), ("14 and 12", (14, 12)), ("14/12;3", (14, 12, 3))],
)
def test_flights_are_read_as_people_list_them(typed, read):
    assert flights(typed) == read


@pytest.mark.parametrize("typed", ["0", "61", "14, x", "-3", "1.5", "٣", "1 " * 13, "9" * 400])
def test_what_no_stair_has_is_refused_in_a_sentence(typed):
    with pytest.raises(ValueError, match="Give "):
        flights(typed)


def test_doors_are_in_centimetres_and_not_in_metres():
    assert doors("82, 78") == (82, 78)
    with pytest.raises(ValueError, match="between 40 and 400"):
        doors("0, 8")


@given(st.text(max_size=60))
def test_any_text_is_read_or_refused(text):
    try:
        assert all(1 <= each <= 60 for each in flights(text))
    except ValueError as reason:
        assert str(reason).startswith("Give ")


def test_it_is_told_in_words():
    assert flight_words(()) == "no steps"
    assert flight_words([1]) == "1 flight: 1 step"
    assert flight_words([14, 12]) == "2 flights: 14 + 12 = 26 steps"
    assert [floor_words(each) for each in (0, 2, -1)] == ["ground floor", "floor 2", "1 below ground"]


@pytest.mark.parametrize(
    ("way", "words"),
    [((0, 0), ""), ((1, 0), "1 turn"), ((2, 1), "2 turns, 1 landing"), ((0, 2), "2 landings")],
)
def test_turns_and_landings_are_counted_in_words(way, words):
    assert turns_words(*way) == words
