"""When somebody is reminded of the end of a hold or a home trial. The days are common practice, no source."""

import unicodedata
from datetime import date

MARKS = (14, 7, 0)
OVERDUE = -1


def mark_due(ends_on: date, on: date, *, since: date) -> int | None:
    """The mark that speaks today: the nearest that has come, OVERDUE after the last day, else None.

    A run that missed its day catches up, with one mark and not with several. `since` is the day from which it
    was promised: a mark that lies before it never speaks.
    """
    if on > ends_on:
        return OVERDUE
    left = (ends_on - on).days
    mark = min((each for each in MARKS if left <= each), default=None)
    return mark if mark is not None and (ends_on - since).days >= mark else None


def mark_words(mark: int) -> str:
    if mark == OVERDUE:
        return "after the last day"
    return f"{mark} days before" if mark else "on the last day"


def left_words(ends_on: date, on: date) -> str:
    """How far off the end is, as it stands in a letter."""
    days = (ends_on - on).days
    if days < 0:
        return "that day has passed"
    if days == 0:
        return "that is today"
    return "that is tomorrow" if days == 1 else f"that is in {days} days"


def one_line(text: str) -> str:
    """Words for a head line of a letter: controls and line ends become spaces; 200 characters at most."""
    plain = "".join(" " if unicodedata.category(c) in {"Cc", "Cf", "Cs", "Zl", "Zp"} else c for c in text)
    return " ".join(plain.split())[:200]
