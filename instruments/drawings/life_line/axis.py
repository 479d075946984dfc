"""The years of a life laid along a line, whichever way it runs."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from instruments.drawings.life_line.entries import Span

STEPS = (1, 2, 5, 10, 20, 50, 100, 200)
DAYS_IN_YEAR = 365.2425
# A life of few years still gets a decade or so of air.
FEWEST_YEARS = 8


@dataclass(frozen=True, slots=True)
class Axis:
    """From the first of `first_year` to the first of `last_year`, drawn from `start` over `length` units."""

    first_year: int
    last_year: int
    start: float
    length: float
    step: int

    @property
    def end(self) -> float:
        return self.start + self.length

    def at(self, day: int) -> float:
        first, last = _new_year(self.first_year), _new_year(self.last_year)
        share = (day - first) / (last - first)
        return self.start + self.length * min(1.0, max(0.0, share))

    @property
    def years(self) -> range:
        """Those that are marked: whole steps."""
        return range(-(-self.first_year // self.step) * self.step, self.last_year + 1, self.step)

    def at_year(self, year: int) -> float:
        return self.at(_new_year(year))


def axis_for(spans: Iterable[Span], today: date, *, start: float, length: float, closest: float) -> Axis:
    """From the decade of the first day to the year after the last; marks at least `closest` units apart."""
    days = [day for span in spans for day in (span.first, span.last)] + [today.toordinal()]
    first, last = _year(min(days)), _year(max(days)) + 2
    if last - first < FEWEST_YEARS:
        first = last - FEWEST_YEARS
    for step in STEPS:
        low = max(1, first // min(step, 10) * min(step, 10))
        if length * step / (last - low) >= closest:
            break
    return Axis(low, min(9999, last), start, length, step)


def _year(day: int) -> int:
    return date.fromordinal(day).year


def _new_year(year: int) -> int:
    return date(year, 1, 1).toordinal()
