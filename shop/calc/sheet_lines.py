"""The saved lines of a listing as its sheet sets them: the days, and what was not examined, apart."""

import re
from collections.abc import Iterable
from datetime import date, datetime

_DAY = re.compile(r"\s*\((\d{1,2} [A-Z][a-z]+ \d{4})\)(?=[.,;\s]|$)")
_UNEXAMINED = re.compile(r"not examined:\s*(\S.*)", re.IGNORECASE)


def dated_line(line: str) -> tuple[str, date | None]:
    """A line of what was done without the day in brackets, and that day; None where it names none or several.

    "Hammers shaped: by hand (2 April 2026)." -> ("Hammers shaped: by hand.", 2 April 2026)
    """
    found = list(_DAY.finditer(line))
    if len(found) != 1:
        return line, None
    try:
        day = datetime.strptime(found[0].group(1), "%d %B %Y").date()
    except ValueError:
        return line, None
    return _DAY.sub("", line), day


def parted(lines: Iterable[str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What was left, and what was not examined, out of lines that hold both.

    "Not examined: bridges." -> "Bridges."
    """
    left, unexamined = [], []
    for line in lines:
        match = _UNEXAMINED.fullmatch(line)
        if match:
            unexamined.append(f"{match.group(1)[:1].upper()}{match.group(1)[1:]}")
        else:
            left.append(line)
    return tuple(left), tuple(unexamined)
