"""Work against hours: how much is wanted by a day, and how much time there is until then."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from workorders.calc.bench_days import A_DAY, minutes_between, monday_of

WEEK = timedelta(days=7)


@dataclass(frozen=True)
class WeekLoad:
    """One week, from Monday or from today: minutes at the bench and minutes planned on them."""

    first_day: date
    last_day: date
    at_bench: int
    planned: int

    @property
    def free(self) -> int:
        return max(self.at_bench - self.planned, 0)


@dataclass(frozen=True)
class Overload:
    """More is wanted by a day than there is time for, in minutes."""

    day: date
    wanted: int
    at_bench: int

    @property
    def too_many(self) -> int:
        return self.wanted - self.at_bench


def weeks_from(on: date, count: int) -> list[tuple[date, date]]:
    """First and last day of `count` weeks, the first one from `on` to its Sunday (ISO 8601 weeks)."""
    monday = monday_of(on)
    return [(max(on, monday + WEEK * week), monday + WEEK * week + A_DAY * 6) for week in range(count)]


def week_loads(
    pieces: Iterable[tuple[date, int]],
    minutes_on: Callable[[date], int],
    weeks: Sequence[tuple[date, date]],
) -> list[WeekLoad]:
    """Minutes planned, as (day, minutes), against minutes at the bench, week by week."""
    planned = [0] * len(weeks)
    for day, minutes in pieces:
        for place, (first, last) in enumerate(weeks):
            if first <= day <= last:
                planned[place] += minutes
    return [
        WeekLoad(first, last, minutes_between(minutes_on, first, last), minutes)
        for (first, last), minutes in zip(weeks, planned, strict=True)
    ]


def overload(
    wanted: Iterable[tuple[date, int]], minutes_on: Callable[[date], int], *, on: date, until: date
) -> Overload | None:
    """The day up to `until` by which the most is wanted beyond the time there is; None when all of it fits.

    `wanted` gives (day, minutes); what is wanted before `on` counts for `on`. Whatever order the work is done
    in, what is wanted by a day cannot exceed the hours until it (the demand of deadlines against the time
    there is: common knowledge of scheduling one worker, no single source).
    """
    by_day: dict[date, int] = {}
    for day, minutes in wanted:
        if max(day, on) <= until:
            by_day[max(day, on)] = by_day.get(max(day, on), 0) + minutes
    worst, sum_wanted, sum_hours, counted_to = None, 0, 0, on - A_DAY
    for day in sorted(by_day):
        sum_wanted += by_day[day]
        sum_hours += minutes_between(minutes_on, counted_to + A_DAY, day)
        counted_to = day
        found = Overload(day, sum_wanted, sum_hours)
        if found.too_many > (worst.too_many if worst else 0):
            worst = found
    return worst
