"""Readings are made up; the order friction, missing weights, weight is common practice, no source."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from instruments.calc.touchweight import Reading, asked_of, compare, verdict


def weighed(*readings):
    return verdict([Reading(*reading) for reading in readings], first_key=1, key_count=85)


def asked(*readings):
    return [(each.cause, each.keys) for each in asked_of(weighed(*readings).keys)]


def test_friction_is_named_before_missing_weights_and_these_before_lead():
    found = asked((40, 60, 22), (41, 60, 31), (42, 60, None), (43, 45, 22), (44, 50, 18), (45, 44, 19))
    assert found == [
        ("friction", (40,)),
        ("hidden", (44,)),
        ("unknown", (42,)),
        ("weight", (41,)),
        ("light", (43, 45)),
    ]


def test_key_inside_that_hardly_returns_is_named_as_well():
    assert asked((43, 49, 19.5)) == [("slow", (43,))]


@pytest.mark.parametrize("down", [49, 60])
def test_key_that_does_not_return_is_a_fault_of_its_own_and_comes_first(down):
    """CHECKS.md 1.13: of a key that does not return neither friction nor balance weight can be told."""
    keys = weighed((40, 60, 22), (43, down, 0)).keys
    assert [each.cause for each in asked_of(keys)] == ["stuck", "friction"]
    assert (keys[1].inside, keys[1].friction_g, keys[1].balance_g) == (False, None, None)


def test_high_down_with_an_up_weight_that_is_not_high_is_friction():
    """52 / 22 against 50: the balance weight, 37 g, lies below the 38 g that 12 g of friction leaves."""
    assert asked((49, 53, 22)) == [("friction", (49,))]
    assert asked((49, 55, 29)) == [("weight", (49,))]


def test_lead_is_not_spoken_of_where_friction_is_out():
    (friction,) = asked_of(weighed((43, 60, 22)).keys)
    assert "lead" not in friction.do and "Ease" in friction.do


weights = st.integers(0, 90)


@given(st.dictionaries(st.integers(1, 85), st.tuples(weights, weights), max_size=12))
def test_every_key_that_is_out_is_asked_about_once(pairs):
    judged = weighed(*((key, max(pair), min(pair)) for key, pair in pairs.items()))
    named = [key for each in asked_of(judged.keys) for key in each.keys]
    assert len(named) == len(set(named))
    assert {key.key for key in judged.keys if not key.inside} <= set(named)


def test_comparison_counts_only_keys_weighed_both_times():
    before = weighed((40, 60, 22), (41, 60, 22), (42, 50, 25))
    after = weighed((40, 51, 25), (41, 60, 22), (60, 70, 22))
    found = compare(before, after)
    assert [(was.key, now.down_g) for was, now in found.keys] == [(40, 51), (41, 60)]
    assert found.sentence == (
        "Of 2 keys weighed both times 2 were out before, 1 now. Largest step 0 g before, 9 g now."
        " Mean friction 19 g before, 16 g now. Mean balance weight 41 g before, 39.5 g now."
    )


def test_two_weigh_offs_without_a_key_in_common_say_so():
    assert compare(weighed((40, 50, 25)), weighed((41, 50, 25))).sentence == "The two have no key in common."


def test_means_of_friction_and_balance_leave_out_keys_without_an_up_weight():
    summary = weighed((40, 52, 28), (41, 50, 26), (42, 60, None)).summary
    assert (summary.friction_mean_g, summary.balance_mean_g) == (Decimal(12), Decimal(39))
