"""Boundaries of months. What a period of months is: `deadlines.months_later`; the rest common practice."""

from datetime import date

import pytest

from shop.calc.after_care import (
    first_tuning_between,
    guaranteed_until,
    is_outside_band,
    months_between,
    tuning_due_on,
    tunings_lacking,
)

PACE = {"first_to_days": 28, "first_year": 3, "later": 2}


@pytest.mark.parametrize(
    ("starts_on", "months", "until"),
    [
        (date(2026, 3, 2), 12, date(2027, 3, 2)),
        (date(2026, 1, 31), 1, date(2026, 2, 28)),  # no 31 February
        (date(2028, 2, 29), 12, date(2029, 2, 28)),  # no 29 February in 2029
        (date(2027, 2, 28), 12, date(2028, 2, 28)),  # the same day, not the last of the month
        (date(2026, 12, 15), 36, date(2029, 12, 15)),
    ],
)
def test_a_guarantee_ends_on_the_same_day_of_a_later_month(starts_on, months, until):
    assert guaranteed_until(starts_on, months) == until


def test_a_guarantee_of_no_month_is_none():
    with pytest.raises(ValueError, match="one month at least"):
        guaranteed_until(date(2026, 3, 2), 0)


def test_the_first_visit_falls_two_to_four_weeks_after_delivery():
    assert first_tuning_between(date(2026, 3, 2), 14, 28) == (date(2026, 3, 16), date(2026, 3, 30))


@pytest.mark.parametrize(
    ("tuned_on", "due"),
    [
        ([], date(2026, 3, 30)),
        ([date(2026, 3, 20)], date(2026, 7, 20)),  # 3 in the first year: every 4 months
        ([date(2026, 3, 20), date(2027, 3, 1)], date(2027, 7, 1)),  # the last day of the first year
        ([date(2027, 3, 2)], date(2027, 9, 2)),  # the second year: every 6 months
        ([date(2025, 11, 5)], date(2026, 3, 30)),  # tuned before it left us is no visit
    ],
)
def test_the_next_tuning_is_due_by_the_pace_of_its_year(tuned_on, due):
    assert tuning_due_on(date(2026, 3, 2), tuned_on, **PACE) == due


def test_a_year_is_parted_into_whole_months():
    assert [months_between(times) for times in (1, 2, 3, 4, 6)] == [12, 6, 4, 3, 2]
    with pytest.raises(ValueError, match="one of 1, 2, 3, 4, 6"):
        months_between(5)


def test_tunings_lack_only_in_years_that_are_over():
    delivered, once = date(2026, 3, 2), [date(2026, 5, 1)]
    assert tunings_lacking(delivered, once, a_year=2, on=date(2027, 3, 1)) == []
    assert tunings_lacking(delivered, once, a_year=2, on=date(2027, 3, 2)) == [(1, 1)]
    twice = [*once, date(2027, 3, 1), date(2027, 3, 2)]  # the last of them is of the second year
    assert tunings_lacking(delivered, twice, a_year=2, on=date(2028, 3, 2)) == [(2, 1)]


def test_the_ends_of_the_band_are_inside_it():
    assert [is_outside_band(rh, 45, 60) for rh in (44.9, 45, 60, 60.1)] == [True, False, False, True]
