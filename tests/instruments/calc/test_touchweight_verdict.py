"""Causes: TRADE practice that high D with low U is friction and both high is weight; limits named beside."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from instruments.calc.compass import is_sharp
from instruments.calc.touchweight import Reading, verdict


def weigh_off(*readings, first_key=1, key_count=85, **curve):
    rows = (Reading(*reading) for reading in readings)
    return verdict(rows, first_key=first_key, key_count=key_count, **curve)


# Source of the friction limit: published D - U of 25 to 30 g, so friction up to 15 g
# (pianotuningmatters.blogspot.com, July 2016). Key 43 of 85 has the target 50 g.
@pytest.mark.parametrize(
    ("down", "up", "cause"),
    [
        (50, 25, ""),
        (52, 26, ""),
        (48, 24, ""),
        (60, 22, "friction"),
        (60, 30, "weight"),
        (60, 29, "friction"),
        (53, 29, "weight"),
        (47, 25, "light"),
        (60, None, "unknown"),
        (50, None, ""),
    ],
)
def test_a_key_is_inside_or_out_for_a_cause(down, up, cause):
    key = weigh_off((43, down, up)).keys[0]
    assert (key.inside, key.cause) == (cause == "", cause)


def test_a_verdict_carries_the_figures_it_rests_on():
    key = weigh_off((43, "60", "22")).keys[0]
    found = (key.target_g, key.deviation_g, key.friction_g, key.balance_g, key.friction_high, key.slow_return)
    assert found == (50, 10, 19, 41, True, False)


def test_a_key_without_up_weight_has_no_friction_instead_of_none_at_all():
    key = weigh_off((43, 60, None)).keys[0]
    assert (key.friction_g, key.balance_g, key.friction_high) == (None, None, False)


# Source: 20 g least up-weight, common practice from memory.
@pytest.mark.parametrize(("up", "slow"), [(19, True), (20, False)])
def test_a_key_that_lifts_less_than_20_g_returns_slowly(up, slow):
    assert weigh_off((43, 49, up)).keys[0].slow_return is slow


def test_a_customers_lighter_curve_moves_the_verdict():
    assert weigh_off((43, 50, 25), bass_g=49, middle_g=47, treble_g=45).keys[0].cause == "weight"


def test_the_curve_follows_the_instruments_own_compass():
    keys = weigh_off((-8, 52, 27), (88, 48, 24), first_key=-8, key_count=97).keys
    assert [key.deviation_g for key in keys] == [0, 0]


@pytest.mark.parametrize(
    ("readings", "reason"),
    [
        ([(40, 50, 55)], "C4: The up-weight"),
        ([(40, -1, None)], "C4: The down-weight cannot be negative"),
        ([(40, "fifty", None)], "C4: The down-weight is not a number"),
        ([(40, 50, 25), (40, 51, 25)], "C4 was given twice"),
        ([(86, 50, 25)], "no position 86"),
    ],
)
def test_a_reading_that_cannot_be_is_named(readings, reason):
    with pytest.raises(ValueError, match=reason):
        weigh_off(*readings)


def test_the_largest_step_lies_between_neighbours():
    summary = weigh_off((40, 50, 25), (41, 53, 25), (42, 48, 25), (60, 70, 25)).summary
    assert (summary.largest_step_g, summary.step_keys) == (5, (41, 42))


def test_single_keys_far_apart_make_no_step():
    summary = weigh_off((1, 50, 25), (40, 60, 25)).summary
    assert (summary.largest_step_g, summary.step_keys) == (None, None)


def test_naturals_and_sharps_are_counted_apart():
    summary = weigh_off((40, 50, 25), (41, 60, 22), (42, 51, 25), (43, 60, 22)).summary
    found = (summary.naturals_out, summary.sharps_out, summary.naturals_mean_g, summary.sharps_mean_g)
    assert found == (0, 2, Decimal("50.5"), Decimal("60"))


def test_the_share_inside_is_exact():
    summary = weigh_off((40, 50, 25), (41, 60, 22), (42, 51, 25), (43, 50, 25)).summary
    assert (summary.weighed, summary.out, summary.share_inside) == (4, 1, Decimal("0.75"))


def stiff_sharps():
    """28 keys out by friction, all sharps but two."""
    sharps = [key for key in range(1, 86) if is_sharp(key)][:26]
    stiff = {*sharps, 40, 42}
    return [(key, 60, 20) if key in stiff else (key, 50, 25) for key in range(1, 86)]


def test_one_sentence_says_how_many_where_and_why():
    sentence = weigh_off(*stiff_sharps()).summary.sentence
    assert sentence == "28 keys are out, nearly all sharps: high down, low up. That is friction."


@pytest.mark.parametrize(
    ("readings", "sentence"),
    [
        ([], "Nothing has been weighed yet."),
        ([(43, 50, 25), (44, 50, 25)], "All 2 keys weighed are inside the curve."),
        ([(43, 50, 18)], "The one key weighed is inside the curve. One key is inside with high friction."),
        ([(43, 60, 30)], "One key is out: down and up both high. That is weight."),
        ([(43, 44, 25)], "One key is out: low down. It is too light."),
        (
            [(41, 60, 22), (43, 60, 22), (46, 60, 22)],
            "Three keys are out, all sharps: high down, low up. That is friction.",
        ),
        ([(40, 60, 22), (43, 60, 30)], "Two keys are out: 1 from friction, 1 from weight."),
        ([(43, 60, None)], "One key is out: the up-weight is missing, so nothing tells why."),
    ],
)
def test_the_sentence_fits_what_was_found(readings, sentence):
    assert weigh_off(*readings).summary.sentence == sentence


@pytest.mark.parametrize(
    ("readings", "words"),
    [
        ([(43, 50, 25)], "Nothing has to be done"),
        ([(43, 60, 22), (44, 60, 30)], "No lead before friction is right"),
        ([(43, 50, 18), (44, 60, 30)], "No lead before friction is right"),
        ([(43, 60, None), (44, 60, 30)], "Take the missing up-weights first"),
        ([(43, 60, 30)], "then lead the heavy keys"),
        ([(43, 44, 25)], "take lead out"),
    ],
)
def test_what_comes_first_is_never_lead_while_friction_is_wrong_or_unknown(readings, words):
    assert words in weigh_off(*readings).summary.do_first


weights = st.integers(0, 90)


@given(st.dictionaries(st.integers(1, 85), st.tuples(weights, weights), max_size=12))
def test_lead_is_never_advised_before_friction(pairs):
    found = weigh_off(*((key, max(pair), min(pair)) for key, pair in pairs.items()))
    advised = "lead the heavy" in found.summary.do_first or "take lead out" in found.summary.do_first
    assert not (advised and any(key.friction_high for key in found.keys))


@given(st.dictionaries(st.integers(1, 85), st.tuples(weights, weights), max_size=12))
def test_the_order_of_readings_does_not_matter(pairs):
    rows = [(key, max(pair), min(pair)) for key, pair in pairs.items()]
    assert weigh_off(*rows) == weigh_off(*reversed(rows))
