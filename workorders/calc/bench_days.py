"""How long somebody is at the bench on a day: hours by weekday from a day on, and days away."""

from bisect import bisect_right
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

DAY_NAMES = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
A_DAY = timedelta(days=1)


@dataclass(frozen=True)
class Hours:
    """Minutes from Monday to Sunday that hold from `since` on. ValueError unless seven of 0 to 1440."""

    since: date
    minutes: tuple[int, ...]

    def __post_init__(self):
        if len(self.minutes) != 7 or not all(0 <= each <= 1440 for each in self.minutes):
            raise ValueError("A week has seven days of 0 to 1440 minutes.")


@dataclass(frozen=True)
class Away:
    """Days without bench hours, first and last included."""

    first_day: date
    last_day: date


def minutes_by_day(hours: Sequence[Hours], away: Sequence[Away] = ()) -> Callable[[date], int]:
    """A function that gives the minutes at the bench for a day, 0 before the first hours and when away.

    Of hours that begin on the same day the later in the sequence holds.
    """
    in_force = sorted(hours, key=lambda each: each.since)  # stable: the later of a day stays behind
    begin = [each.since for each in in_force]

    def minutes_on(day: date) -> int:
        place = bisect_right(begin, day)
        if not place or any(each.first_day <= day <= each.last_day for each in away):
            return 0
        return in_force[place - 1].minutes[day.weekday()]

    return minutes_on


def monday_of(day: date) -> date:
    """The Monday of a day's week (ISO 8601: weeks begin on Monday)."""
    return day - timedelta(days=day.weekday())


def minutes_between(minutes_on: Callable[[date], int], first_day: date, last_day: date) -> int:
    """Minutes over a run of days, first and last included; 0 when they are the wrong way round."""
    count = (last_day - first_day).days + 1
    return sum(minutes_on(first_day + A_DAY * number) for number in range(count))


def week_words(minutes: Sequence[int], in_words: Callable[[int], str]) -> str:
    """ "Monday to Thursday 6 h, Friday 4 h": days that follow each other and are alike are told together."""
    runs: list[list[int]] = []
    for day, length in enumerate(minutes):
        if not length:
            continue
        if runs and runs[-1][1] == day - 1 and minutes[runs[-1][0]] == length:
            runs[-1][1] = day
        else:
            runs.append([day, day])
    told = [f"{_days(first, last)} {in_words(minutes[first])}" for first, last in runs]
    return ", ".join(told) or "not at the bench"


def _days(first: int, last: int) -> str:
    if first == last:
        return DAY_NAMES[first]
    joined = " to " if last - first > 1 else " and "
    return f"{DAY_NAMES[first]}{joined}{DAY_NAMES[last]}"
