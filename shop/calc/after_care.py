"""After-care: how long a guarantee runs by part, when a tuning is due, whether what it needs was kept.

Periods end on the same day of a later month (`deadlines.months_later`). Tunings a year, the weeks before the
first and the room's band are common practice, no source: the shop's own figures come in from outside.
"""

from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass
from datetime import date, timedelta

from shop.calc.deadlines import months_later

A_YEAR = 12
TIMES_A_YEAR = (1, 2, 3, 4, 6)  # those that part a year into whole months


@dataclass(frozen=True)
class PartTerms:
    """What is promised of one part: for how many months, or not at all."""

    code: str
    name: str
    covered: bool
    months: int
    note: str = ""


@dataclass(frozen=True)
class CareTerms:
    """What one sale comes with after the door has closed: guarantee by part, what it needs, tunings."""

    parts: tuple[PartTerms, ...]
    runs_from: str  # "delivery" or "sale"
    tunings_a_year: int
    keeps_receipts: bool
    asks_first: bool
    humidity_low: int
    humidity_high: int
    excluded: str
    included_tunings: int
    first_from_days: int
    first_to_days: int
    first_year: int
    later: int
    special: str = ""

    def plain(self) -> dict:
        """As it goes into the record; lists where it has tuples, so that it reads back the same."""
        kept = asdict(self)
        return kept | {"parts": list(kept["parts"])}

    @classmethod
    def from_plain(cls, kept: dict) -> "CareTerms":
        return cls(**kept | {"parts": tuple(PartTerms(**part) for part in kept["parts"])})

    @property
    def covered(self) -> tuple[PartTerms, ...]:
        return tuple(part for part in self.parts if part.covered)

    @property
    def not_covered(self) -> tuple[PartTerms, ...]:
        return tuple(part for part in self.parts if not part.covered)

    def part(self, code: str) -> PartTerms | None:
        return next((part for part in self.parts if part.code == code), None)


def guaranteed_until(starts_on: date, months: int) -> date:
    """The last day of a guarantee of so many months; a month that is shorter ends it on its last day."""
    if months < 1:
        raise ValueError("A guarantee runs for one month at least.")
    return months_later(starts_on, months)


def first_tuning_between(delivered_on: date, from_days: int, to_days: int) -> tuple[date, date]:
    """The days in which the first visit falls, once it has settled in its new room."""
    if not 0 <= from_days <= to_days:
        raise ValueError("The first visit cannot end before it begins.")
    return delivered_on + timedelta(days=from_days), delivered_on + timedelta(days=to_days)


def tuning_due_on(
    delivered_on: date, tuned_on: Iterable[date], *, first_to_days: int, first_year: int, later: int
) -> date:
    """When the next tuning is due: the first by the end of its window, then so many a year.

    `first_year` counts while the last tuning lies in the twelve months after delivery, `later` from then on.
    """
    tunings = [day for day in tuned_on if day >= delivered_on]
    if not tunings:
        return delivered_on + timedelta(days=first_to_days)
    last = max(tunings)
    is_first_year = last < months_later(delivered_on, A_YEAR)
    return months_later(last, months_between(first_year if is_first_year else later))


def months_between(times_a_year: int) -> int:
    if times_a_year not in TIMES_A_YEAR:
        raise ValueError(f"Tunings a year are one of {', '.join(map(str, TIMES_A_YEAR))}.")
    return A_YEAR // times_a_year


def tunings_lacking(
    delivered_on: date, tuned_on: Sequence[date], *, a_year: int, on: date
) -> list[tuple[int, int]]:
    """Whole years since delivery with too few tunings: (which year, how many there were)."""
    lacking, year = [], 1
    while a_year and (ends := months_later(delivered_on, A_YEAR * year)) <= on:
        begins = months_later(delivered_on, A_YEAR * (year - 1))
        count = sum(begins <= day < ends for day in tuned_on)
        if count < a_year:
            lacking.append((year, count))
        year += 1
    return lacking


def is_outside_band(humidity_percent: float, low: int, high: int) -> bool:
    return not low <= humidity_percent <= high
