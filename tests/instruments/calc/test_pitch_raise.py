"""Rules of practitioners, common practice without a source that could be cited; see the module."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from instruments.calc.pitch_raise import SEMITONE_CAUTION, SHARP_CAUTION, STRINGS_CAUTION, raise_plan


@pytest.mark.parametrize(
    ("cents", "is_old", "raises"),
    [
        (0, True, 0),
        (-5, True, 0),
        (-5.1, True, 1),
        (-40, True, 1),
        (-41, True, 2),
        (-41, False, 1),
        (-51, False, 2),
        (12, True, 1),
    ],
)
def test_how_many_raises_come_before_the_tuning(cents, is_old, raises):
    assert raise_plan(cents, is_old=is_old).raises == raises


@pytest.mark.parametrize(
    ("cents", "is_old", "over"),
    [(-20, True, 5), (-120, True, 15), (-120, False, 15), (-200, False, 25), (-3, True, 0), (9, True, 0)],
)
def test_how_far_a_raise_goes_over(cents, is_old, over):
    assert raise_plan(cents, is_old=is_old).over_pull_cents == over


@given(st.floats(-400, 400))
def test_an_old_piano_is_never_pulled_over_by_more_than_fifteen_cents(cents):
    assert 0 <= raise_plan(cents, is_old=True).over_pull_cents <= 15


@pytest.mark.parametrize(
    ("cents", "words"),
    [
        (-3, "twice a year"),
        (-15, "within a month if it has moved"),
        (-30, "six months"),
        (-60, "once more some months later"),
    ],
)
def test_when_to_come_again(cents, words):
    assert words in raise_plan(cents).return_sentence


@given(st.floats(-400, -5.01))
def test_every_raise_warns_of_strings_and_offers_three_ways(cents):
    plan = raise_plan(cents)
    assert STRINGS_CAUTION in plan.cautions
    assert [way.code for way in plan.ways] == ["itself", "pitch", "gradual"]


def test_a_semitone_is_a_risk_to_plan():
    assert (
        raise_plan(-100).cautions[0] == SEMITONE_CAUTION and SEMITONE_CAUTION not in raise_plan(-99).cautions
    )


def test_a_sharp_piano_is_let_down_and_nothing_is_offered():
    plan = raise_plan(12)
    assert (plan.sentence, plan.cautions, plan.ways) == (
        "About 12 cents sharp: one lowering, then the tuning.",
        (SHARP_CAUTION,),
        (),
    )


def test_the_plan_says_itself_in_two_lines():
    plan = raise_plan(-46)
    assert plan.sentence == "About 46 cents flat: two raises, then the tuning."
    assert plan.over_pull_sentence.startswith("In each raise go over by about 6 cents")
    assert "no more than 10 to 15" in plan.over_pull_sentence


@pytest.mark.parametrize("cents", [401, -401, float("nan"), float("inf")])
def test_what_cannot_be_a_pitch_is_refused(cents):
    with pytest.raises(ValueError, match="within 400 cents"):
        raise_plan(cents)
