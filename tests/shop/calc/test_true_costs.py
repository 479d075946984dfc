"""True cost and the price floor. The costing sheet and the floor are our own; worked values are derived."""

from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.calc.offer import most_we_may_pay_minor
from shop.calc.true_costs import (
    FloorTerms,
    Reserve,
    margin_percent,
    months_later,
    price_floor_minor,
    stays_in_our_places,
    still_to_come_minor,
    storage_minor,
    storage_weeks,
)

DAY = date(2026, 3, 2)
FIFTH = Decimal("0.20")


def terms(treatment="margin", *, purchase=120_000, other=90_000, wanted=60_000, **known):
    return FloorTerms(purchase, other, wanted, treatment, **{"rate": FIFTH} | known)


# Derived from P = S - 1.2 (C + M), TRADE section 5: 3,000 sale, costs 900, profit 600 -> 1,200 to pay.
@pytest.mark.parametrize(
    ("treatment", "floor"),
    [
        ("margin", 300_000),
        ("margin_eu", 300_000),
        ("none", 270_000),
        ("sales_tax", 270_000),
        ("standard", 324_000),
    ],
)
def test_floor_covers_cost_tax_and_the_profit_wanted(treatment, floor):
    assert price_floor_minor(terms(treatment)) == floor


def test_floor_sets_a_share_of_the_price_aside():
    # 2,700 without tax; a tenth and £30 aside: (2,700 + 30) / 0.9 = 3,033.333...
    assert price_floor_minor(terms("none", reserve=Reserve(Decimal(10), 3_000))) == 303_333


def test_floor_of_what_cost_nothing_and_should_earn_nothing_is_nothing():
    assert price_floor_minor(terms(purchase=0, other=0, wanted=0)) == 0


def test_a_loss_on_the_margin_bears_no_tax():  # CHECKS section 6, test 3
    assert price_floor_minor(terms(purchase=85_000, other=0, wanted=-5_000)) == 80_000


@pytest.mark.parametrize("costs", [{"purchase": -1}, {"other": -1}])
def test_negative_costs_are_refused(costs):
    with pytest.raises(ValueError, match="negative"):
        price_floor_minor(terms(**costs))


def test_tax_and_reserve_that_eat_the_price_are_refused():
    with pytest.raises(ValueError, match="leave nothing"):
        price_floor_minor(terms("standard", rate=Decimal("0.99"), reserve=Reserve(Decimal(60))))


money = st.integers(0, 2_000_000)


@given(money, money, money, st.sampled_from(["margin", "standard", "none"]), st.sampled_from([0, 2, 5]))
def test_floor_is_the_lowest_price_that_earns_enough(purchase, other, wanted, treatment, percent):
    asked = FloorTerms(purchase, other, wanted, treatment, FIFTH, Reserve(Decimal(percent)))
    floor = price_floor_minor(asked)
    assert asked.profit(floor) >= wanted
    assert all(asked.profit(price) < wanted for price in range(max(0, floor - 12), floor))


@given(money, money, money)
def test_floor_and_the_most_we_may_pay_agree(purchase, other, wanted):
    floor = price_floor_minor(terms(purchase=purchase, other=other, wanted=wanted))
    assert most_we_may_pay_minor(floor, other, wanted, FIFTH, "margin") >= purchase


@pytest.mark.parametrize(
    ("margin", "price", "percent"), [(60_000, 300_000, "20.0"), (-5_000, 80_000, "-6.2"), (1, 3, "33.3")]
)
def test_margin_in_per_cent(margin, price, percent):
    assert margin_percent(margin, price) == Decimal(percent)


def test_no_price_has_no_margin_in_per_cent():
    assert margin_percent(0, 0) is None


def test_it_stands_with_us_where_the_place_is_ours():
    moves = [(DAY, True), (DAY + timedelta(days=10), False), (DAY + timedelta(days=20), True)]
    stays = stays_in_our_places(moves, DAY + timedelta(days=24))
    assert [stay.days for stay in stays] == [10, 4]


def test_storage_counts_whole_weeks_after_the_free_ones():
    stays = stays_in_our_places([(DAY, True)], DAY + timedelta(days=34))
    assert [storage_weeks(stays, free_weeks=free) for free in (0, 2, 9)] == [4, 2, 0]
    assert storage_minor(stays, week_minor=750, free_weeks=2) == 1_500


def test_what_left_before_it_came_stands_nowhere():
    assert stays_in_our_places([(DAY, True)], DAY) == []


@pytest.mark.parametrize(
    ("kind", "estimated", "actual", "left"),
    [
        ("transport", 12_000, 4_000, 8_000),
        ("transport", 4_000, 9_000, 0),
        ("transport", None, 0, 0),
        ("storage", 9_000, 0, 0),
    ],
)
def test_what_is_still_to_come_of_an_estimate(kind, estimated, actual, left):
    assert still_to_come_minor(kind, estimated_minor=estimated, actual_minor=actual) == left


@pytest.mark.parametrize(
    ("day", "months", "later"),
    [
        ("2026-03-02", 12, "2027-03-02"),
        ("2026-08-31", 6, "2027-02-28"),
        ("2026-10-31", 1, "2026-11-30"),
        ("2024-02-29", 12, "2025-02-28"),
    ],
)
def test_months_later(day, months, later):
    assert months_later(date.fromisoformat(day), months) == date.fromisoformat(later)
