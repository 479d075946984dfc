"""EDTF in plain English, exact enough to be read back: "about 1912", "the 1910s", "before 1975"."""

from calendar import monthrange
from collections.abc import Iterable
from datetime import date, timedelta
from fnmatch import fnmatchcase

from instruments.calc.edtf.grammar import Interval, OneOf, Point, parse
from instruments.calc.edtf.refusal import MONTH_NAMES

_DOUBT = {"": "", "~": "", "?": "possibly ", "%": "possibly "}
_ABOUT = {"": "", "?": "", "~": "about ", "%": "about "}
_NOTE = {"?": "uncertain", "~": "approximate", "%": "uncertain and approximate"}
_SEASONS = {"21": "spring", "22": "summer", "23": "autumn", "24": "winter"}
_ONE_DAY = timedelta(days=1)


def describe(text: str) -> str:
    """What the text says, for a sentence: "about 1912", "between 1910 and 1914"; "" gives "not known".

    ValueError with the reason when the text is not EDTF.
    """
    if not text:
        return "not known"
    found = parse(text)
    return _either(map(_words, found.choices)) if isinstance(found, OneOf) else _words(found)


def _words(found: Point | Interval) -> str:
    if isinstance(found, Point):
        return _point_words(found)
    if found.start and found.end:
        return f"between {_point_words(found.start)} and {_point_words(found.end)}"
    if found.end:
        return _before(found.end) if found.start_open else f"up to {_point_words(found.end)}, start not known"
    if found.end_open:
        return _after(found.start)
    return f"from {_point_words(found.start)}, end not known"


def _point_words(point: Point) -> str:
    words = _date_words(point)
    if point.time_of_day:
        words += f", {point.time_of_day}"
    if _marked_as_one(point) and not words.startswith("some "):
        return _DOUBT[point.marks[0]] + _ABOUT[point.marks[0]] + words
    return words + _notes(point)


def _notes(point: Point) -> str:
    """What is marked part by part: " (month uncertain, day approximate)"."""
    if not point.hedged:
        return ""
    if _marked_as_one(point):
        return f" ({_NOTE[point.marks[0]]})"
    names = ["year", "season" if point.is_season else "month", "day"]
    marked = [f"{name} {_NOTE[mark]}" for name, mark in zip(names, point.marks, strict=False) if mark]
    return f" ({', '.join(marked)})"


def _before(end: Point) -> str:
    """An open start: up to a whole year, month or day is "before" the next one."""
    if not _plain(end) or end.latest == date.max:
        return f"by the end of {_point_words(end)}"
    next_words = _cut(end.latest + _ONE_DAY, len(end.parts))
    return f"{_DOUBT[end.marks[0]]}before {_ABOUT[end.marks[0]]}{next_words}"


def _after(start: Point) -> str:
    if not _plain(start) or start.earliest == date.min:
        return f"from {_point_words(start)} on"
    previous_words = _cut(start.earliest - _ONE_DAY, len(start.parts))
    return f"{_DOUBT[start.marks[0]]}after {_ABOUT[start.marks[0]]}{previous_words}"


def _plain(point: Point) -> bool:
    return _marked_as_one(point) and not point.is_season and "X" not in "".join(point.parts)


def _marked_as_one(point: Point) -> bool:
    return len(set(point.marks)) == 1


def _cut(day: date, part_count: int) -> str:
    words = [str(day.year), MONTH_NAMES[day.month - 1], str(day.day)]
    return " ".join(reversed(words[:part_count]))


def _date_words(point: Point) -> str:
    year, month, day = [*point.parts, "", ""][:3]
    if not month:
        return _year_words(year)
    within = f" of {_some_year(year)}" if "X" in year else f" {_year_words(year)}"
    if point.is_season:
        winter_end = f" to {int(year) + 1}" if month == "24" and "X" not in year else ""
        return f"{_SEASONS[month]}{within}{winter_end}"
    if month == "XX":
        months = f"some month of {within.removeprefix(' of ').strip()}"
        whole = months if day != "XX" else within.removeprefix(" of ").strip()
    else:
        whole = months = _either(MONTH_NAMES[number - 1] for number in _fitting(month, 12)) + within
    if not day:
        return months
    return f"some day in {whole}" if day == "XX" else _day_words(point, month, day, months)


def _day_words(point: Point, month: str, day: str, months: str) -> str:
    if month == "XX":
        return f"day {_either(map(str, _fitting(day, 31)))} of {months}"
    longest = max(monthrange(point.latest.year, number)[1] for number in _fitting(month, 12))
    days = _fitting(day, longest)
    if len(days) > 3 and days[-1] - days[0] == len(days) - 1:
        return f"some day from {days[0]} to {days[-1]} {months}"
    return f"{_either(map(str, days))} {months}"


def _year_words(year: str) -> str:
    if "X" not in year:
        return str(int(year))
    return f"the {year[:3]}0s" if _is_decade(year) else _some_year(year)


def _some_year(year: str) -> str:
    if year == "XXXX":
        return "some year"
    if _is_decade(year):
        return f"some year in the {year[:3]}0s"
    pattern = f" ({year})" if "X" in year.rstrip("X") else ""
    first, last = (int(year.replace("X", digit)) for digit in "09")
    return f"some year from {max(first, 1)} to {last}{pattern}"


def _is_decade(year: str) -> bool:
    """A decade that has a name of its own: "the 1900s" could as well be the century."""
    return year[3] == "X" and "X" not in year[:3] and year[2] != "0"


def _fitting(pattern: str, largest: int) -> list[int]:
    wanted = pattern.replace("X", "?")
    return [number for number in range(1, largest + 1) if fnmatchcase(f"{number:02}", wanted)]


def _either(words: Iterable[str]) -> str:
    *others, last = words
    return f"{', '.join(others)} or {last}" if others else last
