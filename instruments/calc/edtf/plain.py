"""From the words people use to EDTF: "about 1912", "between 1910 and 1914", "before 1920"."""

import re
import unicodedata
from collections.abc import Callable
from datetime import date, timedelta

from instruments.calc.edtf.grammar import LONGEST, Point, parse
from instruments.calc.edtf.refusal import MONTH_NAMES
from instruments.calc.edtf.spoken import point_from_words

_EDTF_SIGNS = re.compile(r"[0-9XYES?~%.,/\[\]{}-]+")
_NOT_KNOWN = {"", "unknown", "not known", "no date", "undated", "n/a", "?", "-", "–"}
_ABOUT = re.compile(
    r"(?:in or about|about|around|approximately|approx|circa|roughly|abt|ca|c)\b\.?\s*|c\.?(?=\d)|~\s*"
)
_DOUBT = re.compile(r"(?:possibly|perhaps|maybe|probably|presumably|likely)\b\s*|\?\s*")
_IDLE = re.compile(r"(?:in|on|made|built|dated|the year)\s+")
_ISH = re.compile(r"(?:(?<=\d)\s*-?ish|\s+or so|\s+or thereabouts)$")
_YEARS = re.compile(r"(?:from\s+)?(\d{4}|\d{3}0'?s)(\s*[-–/]\s*)(\d{2}|\d{4}|\d{3}0'?s)")
_BETWEEN = re.compile(r"between\s+(.+?)\s+and\s+(.+)|(?:from\s+)?(.+?)\s+(?:to|until|till|–)\s+(.+)")
_BEFORE = re.compile(r"(?:before|prior to|pre|earlier than)\b[\s-]*(.+)")
_AFTER = re.compile(r"(?:after|post|later than)\b[\s-]*(.+)")
_UP_TO = re.compile(
    r"(?:by|until|up to|not after|(?:no|not) later than)\s+(.+)"
    r"|(.+?)\s+(?:or before|or earlier|at the latest)"
)
_SINCE = re.compile(
    r"(?:since|from|not before|(?:no|not) earlier than)\s+(.+?)(?:\s+on(?:wards?)?)?"
    r"|(.+?)\s+(?:or after|or later|onwards?|at the earliest)"
)
_LENGTHS = {1: 4, 2: 7, 3: 10}  # of a year, a month and a day in figures


def from_plain_words(text: str) -> str:
    """The EDTF for what a person typed; "" for nothing known; EDTF itself comes back unchanged.

    "before 1920" ends with 1919 and "by 1920" with 1920. A text that is EDTF counts as EDTF: "1910-12" is
    December 1910. Early, mid and late in a decade get overlapping ends marked approximate. What can be read
    two ways ("1900s", "5/7/1912") is refused with a ValueError that says what to write.
    """
    typed = unicodedata.normalize("NFKC", text).strip()
    if len(typed) > LONGEST:
        raise ValueError(f"A date has at most {LONGEST} characters.")
    words = re.sub(r"\s+", " ", re.sub("[‐‑‒–—−]", "–", typed).replace("’", "'")).casefold().strip(" .,;")
    if words in _NOT_KNOWN:
        return ""
    if _is_edtf(typed):
        return typed
    found = _phrase(words, "")
    if not found and not _EDTF_SIGNS.fullmatch(typed):
        raise ValueError(
            f"“{typed:.40}” could not be read as a date. "
            "Try 1912, about 1912, 1910 to 1914, the 1910s, before 1920 or May 1912."
        )
    parse(found or typed)  # the calendar and the order of the ends have the last word
    return found


def _is_edtf(text: str) -> bool:
    try:
        parse(text)
    except ValueError:
        return False
    return True


def _phrase(words: str, mark: str) -> str:
    hedge, words = _without_hedges(words)
    mark = _together(mark, hedge)
    readers = (_years, _between, _before, _after, _up_to, _since, _one_of, _point)
    return next(filter(None, (read(words, mark) for read in readers)), "")


def _without_hedges(words: str) -> tuple[str, str]:
    """The mark that words such as "about" and "possibly" amount to, and the rest."""
    mark, rest = "", words.strip()
    while True:
        if rest.endswith("?") and rest != "?":
            mark, rest = _together(mark, "?"), rest[:-1].rstrip()
        elif found := _ISH.search(rest):
            mark, rest = _together(mark, "~"), rest[: found.start()]
        elif found := _ABOUT.match(rest):
            mark, rest = _together(mark, "~"), rest[found.end() :]
        elif found := _DOUBT.match(rest):
            mark, rest = _together(mark, "?"), rest[found.end() :]
        elif found := _IDLE.match(rest):
            rest = rest[found.end() :]
        else:
            return mark, rest


def _together(first: str, second: str) -> str:
    return second if first in {"", second} else first if not second else "%"


def _point(words: str, mark: str) -> str:
    """One date, hedged or not; parts of a decade come back as an interval."""
    hedge, rest = _without_hedges(words)
    mark = _together(mark, hedge)
    ends = filter(None, point_from_words(rest).split("/"))
    return "/".join(end.rstrip("~") + _together("~" if end.endswith("~") else "", mark) for end in ends)


def _years(words: str, mark: str) -> str:
    found = _YEARS.fullmatch(words)
    if not found:
        return ""
    start, joint, end = found.groups()
    if len(end) == 2:
        end = start[:2] + end
        if joint == "-" and "01" <= found[3] <= "12":
            if end < start:
                return ""  # a year and a month, "1912-05"
            month = f"{MONTH_NAMES[int(found[3]) - 1]} {start}"
            raise ValueError(f"“{words}” can be read two ways: write {start} to {end}, or {month}.")
    return _joined(_point(start, mark), _point(end, mark))


def _between(words: str, mark: str) -> str:
    found = _BETWEEN.fullmatch(words)
    if not found:
        return ""
    start, end = found[1] or found[3], found[2] or found[4]
    year = re.search(r"\d{4}$", end)
    if year and not re.search(r"\d{3}", start):
        start = f"{start} {year[0]}"  # "May to June 1912"
    if re.fullmatch(r"\d{2}", end) and re.search(r"\d{4}$", start):
        end = start[-4:-2] + end  # "1910 to 14"
    return _joined(_point(start, mark), _point(end, mark))


def _joined(start: str, end: str) -> str:
    return f"{start.split('/')[0]}/{end.split('/')[-1]}" if start and end else ""


def _before(words: str, mark: str) -> str:
    return _beyond(_BEFORE, words, mark, lambda found: found.earliest - timedelta(days=1), "../{}")


def _after(words: str, mark: str) -> str:
    return _beyond(_AFTER, words, mark, lambda found: found.latest + timedelta(days=1), "{}/..")


def _beyond(pattern: re.Pattern, words: str, mark: str, neighbour: Callable[..., date], form: str) -> str:
    """The side of a date that leaves the date itself out, at the date's own precision."""
    found = pattern.fullmatch(words)
    point = _point(found[1], mark) if found else ""
    if not point:
        return ""
    meant = parse(point)
    precision = len(meant.parts) if isinstance(meant, Point) else 1
    hedge = re.search(r"[?~%]?$", point)[0]
    try:
        return form.format(neighbour(meant).isoformat()[: _LENGTHS[precision]] + hedge)
    except OverflowError:
        raise ValueError("That is outside the years 0001 to 9999 that are read here.") from None


def _up_to(words: str, mark: str) -> str:
    found = _UP_TO.fullmatch(words)
    point = _point(found[1] or found[2], mark) if found else ""
    return f"../{point.split('/')[-1]}" if point else ""


def _since(words: str, mark: str) -> str:
    found = _SINCE.fullmatch(words)
    point = _point(found[1] or found[2], mark) if found else ""
    return f"{point.split('/')[0]}/.." if point else ""


def _one_of(words: str, mark: str) -> str:
    if " or " not in words:
        return ""
    points = [_point(item, mark) for item in re.split(r"\s*,\s*(?:or\s+)?|\s+or\s+", words)]
    return f"[{','.join(point.replace('/', '..') for point in points)}]" if all(points) else ""
