from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workorders.calc.timing import elapsed_minutes, is_forgotten, minutes_by_day

LONDON = ZoneInfo("Europe/London")


def at(text: str) -> datetime:
    return datetime.fromisoformat(text).replace(tzinfo=LONDON)


@pytest.mark.parametrize("seconds, minutes", [(0, 0), (29, 0), (30, 1), (89, 1), (90, 2), (36_000, 600)])
def test_minutes_are_whole_and_half_a_minute_goes_upward(seconds, minutes):
    start = at("2026-03-21 09:00")
    assert elapsed_minutes(start, start + timedelta(seconds=seconds)) == minutes


def test_a_timer_cannot_stop_before_it_was_started():
    with pytest.raises(ValueError, match="before it was started"):
        elapsed_minutes(at("2026-03-21 09:00"), at("2026-03-21 08:59"))


def test_a_night_at_the_bench_is_split_at_midnight():
    assert minutes_by_day(at("2026-03-20 23:10"), at("2026-03-21 00:25")) == [
        (date(2026, 3, 20), 50),
        (date(2026, 3, 21), 25),
    ]


def test_a_day_without_a_minute_is_left_out():
    assert minutes_by_day(at("2026-03-20 23:59:50"), at("2026-03-21 00:10")) == [(date(2026, 3, 21), 10)]


# Summer time began in the United Kingdom at 01:00 UTC on 29 March 2026, the last Sunday of March
# (Summer Time Order 2002, SI 2002/262; from memory): from 00:30 to 02:30 by the clock is one hour.
def test_the_hour_that_the_clock_leaps_over_is_not_worked():
    assert minutes_by_day(at("2026-03-29 00:30"), at("2026-03-29 02:30")) == [(date(2026, 3, 29), 60)]


def test_ten_hours_are_believed_and_a_minute_more_is_not():
    start = at("2026-03-21 08:00")
    assert not is_forgotten(start, start + timedelta(hours=10))
    assert is_forgotten(start, start + timedelta(hours=10, minutes=1))


@given(st.integers(0, 200_000_000), st.integers(0, 200_000))
def test_the_days_together_are_the_whole(begin, seconds):
    start = datetime.fromtimestamp(1_700_000_000 + begin, UTC).astimezone(LONDON)
    stop = start + timedelta(seconds=seconds)
    days = minutes_by_day(start, stop)
    assert sum(minutes for _, minutes in days) == elapsed_minutes(start, stop)
    assert all(minutes > 0 for _, minutes in days)
