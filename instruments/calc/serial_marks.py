"""A year from a serial number: bracketed by the shop's own marks, as wide as the marks are loose.

An exact mark is one number whose year is known by itself (a dated paper, a date pencilled by the maker); a
table's mark is the first number it gives for a year; "about" is a number with a remembered or guessed year.
Tables conflict and end their years differently, so one is allowed to be a year late; an "about" is allowed
three years each way. Both allowances are ours: common practice, no source.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from instruments.calc.dating import Years
from instruments.calc.dating_words import years_words

# How many years it may be older than a mark at or below its number, and younger than one above it.
SLACK_YEARS = {"exact": (0, 0), "table": (1, 0), "about": (3, 3)}
EXACTNESS = tuple(SLACK_YEARS)
EARLIEST_YEAR, LATEST_YEAR = 1700, 2100


@dataclass(frozen=True, slots=True)
class SerialMark:
    """One number of one maker with its year, how exact that is, and where it is from."""

    serial: int
    year: int
    exactness: str
    source: str

    def __post_init__(self) -> None:
        if self.exactness not in SLACK_YEARS:
            raise ValueError(f"A mark is exact, from a table or about, not “{self.exactness:.20}”.")
        if self.serial < 1:
            raise ValueError("A serial number is 1 or more.")
        if not EARLIEST_YEAR <= self.year <= LATEST_YEAR:
            raise ValueError(f"The year lies between {EARLIEST_YEAR} and {LATEST_YEAR}.")
        if not self.source.strip():
            raise ValueError("A mark needs its source.")

    @property
    def words(self) -> str:
        about = "about " if self.exactness == "about" else ""
        return f"{grouped(self.serial)} is of {about}{self.year} ({self.source.strip().rstrip('.')})"

    @property
    def not_before(self) -> int:
        return self.year - SLACK_YEARS[self.exactness][0]

    @property
    def not_after(self) -> int:
        return self.year + SLACK_YEARS[self.exactness][1]


@dataclass(frozen=True, slots=True)
class SerialDating:
    """The years a serial number allows, the marks that set them, and both in a sentence."""

    years: Years
    rests_on: tuple[SerialMark, ...]
    sentence: str
    marks_agree: bool = True


def serial_dating(serial: int, marks: Iterable[SerialMark]) -> SerialDating:
    """The range for a serial number of one maker; a single year only by a mark that is exact.

    Of each exactness the nearest marks on either side are asked, and the tightest answer counts; where
    answers cross, the marks disagree and the widest range is given. ValueError for a serial below 1.
    """
    if serial < 1:
        raise ValueError("A serial number is 1 or more.")
    every = sorted(set(marks), key=lambda mark: (mark.serial, mark.year, mark.source))
    itself = [mark for mark in every if mark.serial == serial and mark.exactness == "exact"]
    if itself:
        years = min(mark.year for mark in itself), max(mark.year for mark in itself)
        return _dated(serial, years, itself, marks_agree=years[0] == years[1])
    below = _nearest([mark for mark in every if mark.serial <= serial], up=True)
    above = _nearest([mark for mark in every if mark.serial > serial], up=False)
    return _bracketed(serial, below, above)


def _nearest(marks: Sequence[SerialMark], *, up: bool) -> list[SerialMark]:
    """Of each exactness the marks on the number next to the serial."""
    found = []
    for exactness in EXACTNESS:
        of_kind = [mark for mark in marks if mark.exactness == exactness]
        nearest = (max if up else min)((mark.serial for mark in of_kind), default=None)
        found += [mark for mark in of_kind if mark.serial == nearest]
    return found


def _bracketed(serial: int, below: list[SerialMark], above: list[SerialMark]) -> SerialDating:
    earliest = max((mark.not_before for mark in below), default=None)
    latest = min((mark.not_after for mark in above), default=None)
    if not _agree(earliest, latest, [*below, *above]):
        outer = [*(mark.not_before for mark in below), *(mark.not_after for mark in above)]
        outer += [mark.year for mark in (*below, *above)]
        return _dated(serial, (min(outer), max(outer)), [*below, *above], marks_agree=False)
    rests_on = [mark for mark in below if mark.not_before == earliest][-1:]
    rests_on += [mark for mark in above if mark.not_after == latest][:1]
    return _dated(serial, (earliest, latest), rests_on)


def _agree(earliest: int | None, latest: int | None, marks: Sequence[SerialMark]) -> bool:
    """Loose marks that only their allowances bring to one and the same year do not agree on it."""
    if earliest is None or latest is None or earliest < latest:
        return True
    return earliest == latest and any(mark.exactness == "exact" for mark in marks)


def _dated(
    serial: int, years: Years, rests_on: Sequence[SerialMark], *, marks_agree: bool = True
) -> SerialDating:
    return SerialDating(
        years, tuple(rests_on), _sentence(serial, years, rests_on, marks_agree=marks_agree), marks_agree
    )


def _sentence(serial: int, years: Years, rests_on: Sequence[SerialMark], *, marks_agree: bool) -> str:
    if not rests_on:
        return f"No mark of this maker says when number {grouped(serial)} was made."
    basis = "; ".join(mark.words for mark in rests_on)
    warning = "" if marks_agree else " These marks disagree, so the range holds them all."
    return f"Number {grouped(serial)} was made {years_words(years)}: {basis}.{warning}"


def grouped(serial: int) -> str:
    """As a number plate is read: "31 447"; four figures stay together."""
    return f"{serial:,}".replace(",", "\u202f") if serial > 9999 else str(serial)
