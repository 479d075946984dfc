from datetime import date, timedelta

import pytest

from workorders.calc.bench_days import (
    Away,
    Hours,
    minutes_between,
    minutes_by_day,
    monday_of,
    week_words,
)
from workorders.calc.durations import minutes_words

MONDAY = date(2026, 3, 23)
FULL = (360, 360, 360, 360, 240, 0, 0)
HALF = (180, 0, 180, 0, 0, 0, 0)


def test_nobody_is_at_the_bench_before_their_first_hours():
    minutes_on = minutes_by_day([Hours(MONDAY, FULL)])
    assert [minutes_on(MONDAY - timedelta(days=1)), minutes_on(MONDAY)] == [0, 360]


def test_newer_hours_hold_from_their_day_on():
    minutes_on = minutes_by_day([Hours(MONDAY + timedelta(days=7), HALF), Hours(MONDAY, FULL)])
    assert (minutes_on(MONDAY + timedelta(days=6)), minutes_on(MONDAY + timedelta(days=7))) == (0, 180)


def test_of_hours_from_the_same_day_the_later_written_hold():
    minutes_on = minutes_by_day([Hours(MONDAY, FULL), Hours(MONDAY, HALF)])
    assert minutes_on(MONDAY) == 180


def test_first_and_last_day_away_are_both_away():
    away = Away(MONDAY + timedelta(days=1), MONDAY + timedelta(days=2))
    minutes_on = minutes_by_day([Hours(MONDAY, FULL)], [away])
    assert [minutes_on(MONDAY + timedelta(days=number)) for number in range(5)] == [360, 0, 0, 360, 240]


def test_a_week_adds_up_and_nothing_lies_between_days_the_wrong_way_round():
    minutes_on = minutes_by_day([Hours(MONDAY, FULL)])
    assert minutes_between(minutes_on, MONDAY, MONDAY + timedelta(days=6)) == sum(FULL)
    assert minutes_between(minutes_on, MONDAY, MONDAY - timedelta(days=1)) == 0


@pytest.mark.parametrize("minutes", [(60,) * 6, (1441, 0, 0, 0, 0, 0, 0), (-1, 0, 0, 0, 0, 0, 0)])
def test_a_week_that_cannot_be_is_refused(minutes):
    with pytest.raises(ValueError, match="seven days"):
        Hours(MONDAY, minutes)


def test_weeks_begin_on_monday():
    assert {monday_of(MONDAY + timedelta(days=number)) for number in range(7)} == {MONDAY}


@pytest.mark.parametrize(
    ("minutes", "words"),
    [
        (FULL, "Monday to Thursday 6 h, Friday 4 h"),
        (HALF, "Monday 3 h, Wednesday 3 h"),
        ((0, 0, 0, 0, 0, 90, 90), "Saturday and Sunday 1 h 30"),
        ((0,) * 7, "not at the bench"),
    ],
)
def test_a_week_is_told_in_runs_of_days(minutes, words):
    assert week_words(minutes, minutes_words) == words
