"""The grammar of the EDTF forms that are read here, and the days each form allows."""

import re
from calendar import monthrange
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, time
from functools import lru_cache
from itertools import product

from instruments.calc.edtf.refusal import MONTH_NAMES, why_no_month, why_refused

LONGEST = 200
MONTHS = range(1, 13)
SEASONS = range(21, 25)

_LONGEST_MONTHS = (0, 31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)

_PART = r"([?~%]?)({})([?~%]?)"
_DATE = re.compile(
    _PART.format("[0-9X]{4}")
    + rf"(?:-{_PART.format('[0-9X]{2}')}(?:-{_PART.format('[0-9X]{2}')})?)?"
    + r"(?:T([0-9]{2}:[0-9]{2}:[0-9]{2})(Z|[+-][0-9]{2}(?::[0-9]{2})?)?)?"
)
_TOGETHER = {frozenset("?"): "?", frozenset("~"): "~"}


@dataclass(frozen=True, slots=True)
class Point:
    """One date: its parts as written (X included), the marks that reach each part, its first and last day."""

    parts: tuple[str, ...]
    marks: tuple[str, ...]
    earliest: date
    latest: date
    time_of_day: str = ""

    @property
    def hedged(self) -> bool:
        return any(self.marks)

    @property
    def is_season(self) -> bool:
        return len(self.parts) == 2 and self.parts[1] in {"21", "22", "23", "24"}


@dataclass(frozen=True, slots=True)
class Interval:
    """From one date to another; an end that is None is open ("..") or, if not open, unknown."""

    start: Point | None
    end: Point | None
    start_open: bool = False
    end_open: bool = False

    @property
    def earliest(self) -> date | None:
        return self.start and self.start.earliest

    @property
    def latest(self) -> date | None:
        return self.end and self.end.latest

    @property
    def hedged(self) -> bool:
        return any(point.hedged for point in (self.start, self.end) if point)


@dataclass(frozen=True, slots=True)
class OneOf:
    """One of several dates or stretches of dates, it is not known which."""

    choices: tuple[Point | Interval, ...]

    @property
    def earliest(self) -> date | None:
        days = [choice.earliest for choice in self.choices]
        return None if None in days else min(days)

    @property
    def latest(self) -> date | None:
        days = [choice.latest for choice in self.choices]
        return None if None in days else max(days)

    @property
    def hedged(self) -> bool:
        return any(choice.hedged for choice in self.choices)


def parse(text: str) -> Point | Interval | OneOf:
    """The meaning of one EDTF text; ValueError gives the reason in a sentence."""
    if len(text) > LONGEST:
        raise ValueError(f"A date has at most {LONGEST} characters.")
    if text.startswith("[") and text.endswith("]"):
        return _one_of(text)
    if "/" in text:
        return _interval(text)
    return _point(text)


def _point(text: str, *, with_time: bool = True) -> Point:
    read = _DATE.fullmatch(text)
    if read is None:
        raise ValueError(why_refused(text))
    groups = read.groups()
    parts = tuple(part for part in groups[1:9:3] if part)
    marks = _marks(groups[0:9:3], groups[2:9:3], len(parts), text)
    if groups[9] and not with_time:
        raise ValueError("A time of day cannot stand in an interval or a set: give the dates only.")
    if groups[9]:
        _check_time(groups[9], groups[10] or "Z", parts, marks)
    earliest, latest = _days(parts)
    return Point(parts, marks, earliest, latest, groups[9] or "")


def _marks(before: tuple, after: tuple, count: int, text: str) -> tuple[str, ...]:
    """A mark on the left is its part's alone; one on the right reaches back over all parts before it."""
    marks, reaching = [""] * count, ""
    for place in reversed(range(count)):
        if before[place] and after[place]:
            raise ValueError(f"“{text}” marks one part twice: % means uncertain and approximate at once.")
        reaching = _both(reaching, after[place])
        marks[place] = _both(reaching, before[place])
    return tuple(marks)


def _both(first: str, second: str) -> str:
    if not first or not second:
        return first or second
    return _TOGETHER.get(frozenset(first + second), "%")


def _check_time(clock: str, zone: str, parts: tuple[str, ...], marks: tuple[str, ...]) -> None:
    if len(parts) < 3 or "X" in "".join(parts) or any(marks):
        raise ValueError("A time of day needs a whole and certain date before it.")
    try:
        time.fromisoformat(clock)
        time.fromisoformat(f"00:00:00{zone}")
    except ValueError:
        raise ValueError(f"There is no time of day {clock}{zone.replace('Z', '')}.") from None


def _days(parts: tuple[str, ...]) -> tuple[date, date]:
    """The first and last day that fit the parts; ValueError names what does not exist."""
    if parts[0] == "0000":
        raise ValueError("The year 0000 is outside the years 0001 to 9999 that are read here.")
    if len(parts) > 1 and "X" not in parts[1] and int(parts[1]) not in MONTHS:
        return _season_days(parts)
    if "X" not in "".join(parts):
        return _plain_days(*map(int, parts))
    earliest = next(_fitting_days(parts, last=False), None)
    latest = next(_fitting_days(parts, last=True), None)
    if earliest is None or latest is None:
        raise ValueError(f"No day of the calendar fits “{'-'.join(parts)}”.")
    return earliest, latest


def _plain_days(year: int, month: int | None = None, day: int | None = None) -> tuple[date, date]:
    if month is None:
        return date(year, 1, 1), date(year, 12, 31)
    last_day = monthrange(year, month)[1]
    if day is None:
        return date(year, month, 1), date(year, month, last_day)
    if not 1 <= day <= last_day:
        raise ValueError(f"There is no day {day} in {MONTH_NAMES[month - 1]} {year}.")
    return (only := date(year, month, day)), only


def _season_days(parts: tuple[str, ...]) -> tuple[date, date]:
    code = int(parts[1])
    if code not in SEASONS:
        raise ValueError(why_no_month(code))
    if len(parts) > 2:
        raise ValueError("A season (21 to 24) has no days.")
    first_month = 3 * (code - 20)  # 21 spring starts in March, 24 winter in December
    first_year = next(year for year in _numbers(parts[0], last=False) if year)
    last_year = next(_numbers(parts[0], last=True))
    if code < 24:
        return date(first_year, first_month, 1), _plain_days(last_year, first_month + 2)[1]
    end = date.max if last_year == 9999 else _plain_days(last_year + 1, 2)[1]
    return date(first_year, 12, 1), end


def _fitting_days(parts: tuple[str, ...], *, last: bool) -> Iterator[date]:
    """The days that fit a pattern with X in it, from the first one on or from the last one back."""
    year_pattern, month_pattern, day_pattern = [*parts, "", ""][:3]
    months = [month for month in _pairs(month_pattern or "XX", last) if month in MONTHS]
    days = _pairs(day_pattern or "XX", last)
    if not any(1 <= day <= _LONGEST_MONTHS[month] for month in months for day in days):
        return
    for year in filter(None, _numbers(year_pattern, last=last)):
        for month in months:
            last_day = monthrange(year, month)[1]
            yield from (date(year, month, day) for day in days if 1 <= day <= last_day)


def _numbers(pattern: str, *, last: bool) -> Iterator[int]:
    """Every number a pattern such as "19X3" stands for, rising, or falling when `last`."""
    digits = "9876543210" if last else "0123456789"
    for combination in product(*(digits if sign == "X" else sign for sign in pattern)):
        yield int("".join(combination))


@lru_cache(maxsize=242)  # all the patterns of two signs, in both directions
def _pairs(pattern: str, last: bool) -> tuple[int, ...]:
    return tuple(_numbers(pattern, last=last))


def _interval(text: str) -> Interval:
    ends = text.split("/")
    if len(ends) != 2:
        raise ValueError("An interval has two ends with one “/” between them.")
    start, end = (None if side in {"", ".."} else _point(side, with_time=False) for side in ends)
    if start is None and end is None:
        raise ValueError("An interval needs a date at one end at least.")
    return _checked(Interval(start, end, ends[0] == "..", ends[1] == ".."), text)


def _checked(interval: Interval, text: str) -> Interval:
    earliest, latest = interval.earliest, interval.latest
    if earliest and latest and earliest > latest:
        raise ValueError(f"“{text}” runs backwards: the earlier date comes first.")
    return interval


def _one_of(text: str) -> OneOf:
    items = [item.strip(" ") for item in text[1:-1].split(",")]
    choices = tuple(_choice(item, place, len(items)) for place, item in enumerate(items))
    return OneOf(choices)


def _choice(item: str, place: int, count: int) -> Point | Interval:
    if ".." not in item:
        return _point(item, with_time=False)
    low, _, high = item.partition("..")
    if (not low and place > 0) or (not high and place < count - 1) or not (low or high):
        raise ValueError("In a set, “..” without a date on both sides opens the first or closes the last.")
    start, end = (_point(side, with_time=False) if side else None for side in (low, high))
    return _checked(Interval(start, end, not low, not high), item)
