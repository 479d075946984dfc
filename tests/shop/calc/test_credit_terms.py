"""Terms of credit are the shop's own word (common practice, no source); the calendar is `months_later`'s."""

from datetime import date, timedelta
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.calc.credit_terms import Counting, CreditRule, Lot, lots_left, scale_faults, whole_months

FALLING = CreditRule(scale=((0, 90), (12, 80), (24, 70)))
amounts = st.integers(0, 10**7)


@pytest.mark.parametrize(
    ("starts_on", "day", "months"),
    [
        (date(2026, 3, 21), date(2026, 3, 20), 0),
        (date(2026, 3, 21), date(2026, 4, 20), 0),
        (date(2026, 3, 21), date(2026, 4, 21), 1),
        (date(2026, 1, 31), date(2026, 2, 27), 0),
        (date(2026, 1, 31), date(2026, 2, 28), 1),  # its last day stands for the 31st
        (date(2028, 1, 31), date(2028, 2, 28), 0),
        (date(2028, 1, 31), date(2028, 2, 29), 1),
        (date(2026, 12, 15), date(2027, 1, 14), 0),
        (date(2026, 12, 15), date(2027, 12, 15), 12),
    ],
)
def test_a_month_is_gone_on_its_own_day(starts_on, day, months):
    assert whole_months(starts_on, day) == months


@pytest.mark.parametrize(
    ("day", "percent"),
    [
        (date(2026, 3, 1), 90),
        (date(2027, 2, 28), 90),
        (date(2027, 3, 1), 80),
        (date(2028, 2, 29), 80),
        (date(2028, 3, 1), 70),
        (date(2099, 1, 1), 70),
    ],
)
def test_each_step_holds_until_the_next_begins(day, percent):
    assert FALLING.percent_on(date(2026, 3, 1), day) == percent


@given(st.dates(date(2000, 1, 1), date(2050, 1, 1)), st.integers(0, 4000))
def test_no_day_is_without_a_share_and_a_falling_scale_never_rises(starts_on, days):
    today = FALLING.percent_on(starts_on, starts_on + timedelta(days=days))
    assert today in {90, 80, 70}
    assert FALLING.percent_on(starts_on, starts_on + timedelta(days=days + 1)) <= today


@pytest.mark.parametrize(
    ("steps", "place", "words"),
    [
        ((), 0, "Give the share"),
        (((1, 90),), 0, "from month 0"),
        (((0, 101),), 0, "between 0 and 100"),
        (((0, 90), (12, 80), (12, 70)), 2, "later than the one before it, month 12"),
        (((0, 90), (121, 80)), 1, "between 0 and 120"),
        (tuple((month, 50) for month in range(6)), 5, "5 steps at most"),
    ],
)
def test_a_scale_that_cannot_be_says_where_and_why(steps, place, words):
    assert any(at == place and words in sentence for at, sentence in scale_faults(steps))
    with pytest.raises(ValueError):
        CreditRule(scale=steps)


@given(amounts, amounts, st.integers(0, 100), st.data())
def test_what_counts_is_rounded_once_and_nothing_is_lost(paid, fees, percent, data):
    deducted = data.draw(st.integers(0, paid))
    counting = Counting(paid, fees, percent, deducted)
    exact = Fraction((paid + fees) * percent, 100)
    assert -Fraction(1, 2) < counting.counted_minor - exact <= Fraction(1, 2)
    assert counting.credit_minor == max(0, counting.counted_minor - deducted)
    assert 0 <= counting.from_fees_minor <= fees
    assert counting.not_counting_minor >= 0
    held = counting.credit_minor + counting.deducted_minor + counting.not_counting_minor
    assert held == paid + counting.from_fees_minor


def test_half_a_minor_unit_rounds_up():
    assert Counting(101, 0, 50).counted_minor == 51


def test_more_is_never_deducted_than_was_paid():
    with pytest.raises(ValueError):
        Counting(100, 50, 100, deducted_minor=101)


def test_only_a_dearer_one_is_dearer():
    dearer = CreditRule(only_dearer=True)
    assert [dearer.reaches(1000, price) for price in (999, 1000, 1001)] == [False, False, True]
    assert CreditRule().reaches(1000, 1)


def test_credit_runs_out_after_its_months_or_never():
    assert CreditRule(expires_after_months=1).runs_out_on(date(2026, 1, 31)) == date(2026, 2, 28)
    assert CreditRule().runs_out_on(date(2026, 1, 31)) is None
    with pytest.raises(ValueError):
        CreditRule(expires_after_months=0)


def test_what_runs_out_first_is_spent_first():
    soon, later = date(2026, 5, 1), date(2027, 1, 1)
    entries = [(100, 1, None), (50, 2, later), (30, 3, soon), (-40, 4, None)]
    assert lots_left(entries) == [Lot(40, 2, later), Lot(100, 1, None)]


@given(st.lists(st.tuples(st.integers(-500, 500), st.just(1), st.none() | st.dates()), max_size=20))
def test_what_is_left_of_each_part_is_together_the_balance(entries):
    balance = 0
    kept = []
    for amount, source, last_day in entries:
        if amount and balance + amount >= 0:
            balance += amount
            kept.append((amount, source, last_day if amount > 0 else None))
    assert sum(lot.amount_minor for lot in lots_left(kept)) == balance


def test_more_spent_than_there_was_is_refused():
    with pytest.raises(ValueError):
        lots_left([(10, 1, None), (-11, 1, None)])
