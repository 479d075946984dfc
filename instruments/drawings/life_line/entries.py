"""What stands on a life line, and the days it reaches over."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from instruments.calc.edtf import Interval, OneOf, Point, parse

FIRM, TOLD, INFERRED, CONTRADICTED = "firm", "told", "inferred", "contradicted"
MARKS = {
    FIRM: "seen, measured or documented",
    TOLD: "as told",
    INFERRED: "inferred",
    CONTRADICTED: "did not bear testing",
}
KINDS = {
    "statement": "",
    "work": "work done here",
    "promise": "hold, trial or sale",
    "purchase": "bought by us",
}

# A date known to the year or better has firm ends; what is wider is "between two dates".
_FIRM_DAYS = 366
# Of a bar between two dates this share in the middle is drawn firm, so that the ends can be soft.
_CORE = 0.5


@dataclass(frozen=True, slots=True)
class Entry:
    """One line of a life: a label, what is said beside it, its EDTF date, and how it is known.

    `lasts`: an interval is a time that ran from its start to its end, not a day somewhere within it.
    `href` leads to the entry's row in the table.
    """

    label: str
    detail: str = ""
    dated: str = ""
    mark: str = FIRM
    kind: str = "statement"
    lasts: bool = False
    href: str = ""

    def __post_init__(self) -> None:
        if self.mark not in MARKS or self.kind not in KINDS:
            raise ValueError(f"“{self.mark:.20}”, “{self.kind:.20}”: no such mark or kind on a life line.")
        if self.dated:
            parse(self.dated)

    @property
    def words(self) -> str:
        """All of it in a sentence, for a pointer and for those who hear the page."""
        said = f"{self.label} {self.detail}".strip()
        known = KINDS[self.kind] or MARKS[self.mark]
        return f"{said}: {known}"


@dataclass(frozen=True, slots=True)
class Span:
    """Four days as ordinals, rising: it may begin and surely has begun, surely lasts and may end.

    None where an end is open: it then fades out before the first or after the last day that is known.
    """

    soft_from: int | None
    firm_from: int
    firm_to: int
    soft_to: int | None
    is_hedged: bool = False

    @property
    def first(self) -> int:
        return self.firm_from if self.soft_from is None else self.soft_from

    @property
    def last(self) -> int:
        return self.firm_to if self.soft_to is None else self.soft_to


def mark_of(grade: str, standing: str = "") -> str:
    """The mark for a grade and a standing, as calc.evidence names them."""
    if standing == CONTRADICTED:
        return CONTRADICTED
    return grade if grade in {TOLD, INFERRED} else FIRM


def span_of(entry: Entry, today: date) -> Span | None:
    """The days of a dated entry; None without a date."""
    if not entry.dated:
        return None
    found = parse(entry.dated)
    if isinstance(found, Interval) and entry.lasts:
        return _lasting(found, today.toordinal())
    low, high = (day and day.toordinal() for day in (found.earliest, found.latest))
    if low is None or high is None:
        known = high if low is None else low
        return Span(low, known, known, high, found.hedged)
    return _within(low, high, is_hedged=found.hedged, is_one_date=not isinstance(found, Interval | OneOf))


def _within(low: int, high: int, *, is_hedged: bool, is_one_date: bool) -> Span:
    if high - low < _FIRM_DAYS and is_one_date:
        return Span(low, low, high, high, is_hedged)
    middle, half_core = (low + high) // 2, int((high - low) * _CORE / 2)
    return Span(low, middle - half_core, middle + half_core, high, is_hedged)


def _lasting(found: Interval, today: int) -> Span:
    start = _end_days(found.start)
    end = (today, today) if found.end_open and found.end is None else _end_days(found.end)
    known = [day for pair in (start, end) if pair for day in pair]
    soft_from, firm_from = start or (None, min(known))
    firm_to, soft_to = end or (max(known), None)
    if firm_from > firm_to:
        firm_from = firm_to = (firm_from + firm_to) // 2
    return Span(soft_from, firm_from, firm_to, soft_to, found.hedged)


def _end_days(point: Point | None) -> tuple[int, int] | None:
    """The first and last day of one end; the same day twice when it is known to the year."""
    if point is None:
        return None
    low, high = point.earliest.toordinal(), point.latest.toordinal()
    return (low, low) if high - low < _FIRM_DAYS else (low, high)


def in_order(entries: Iterable[Entry], today: date) -> list[tuple[Entry, Span]]:
    """Those with a date, as they began."""
    dated = [(entry, span) for entry in entries if (span := span_of(entry, today))]
    return sorted(dated, key=lambda pair: (pair[1].first, pair[1].last))


def undated(entries: Iterable[Entry]) -> list[Entry]:
    return [entry for entry in entries if not entry.dated]
