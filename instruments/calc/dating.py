"""Dating by serial number and other evidence: always a range, with what it rests on.

A mark is one serial number with the year it is known to belong to. The method is plain bracketing, our own:
serial tables conflict and disagree about year ends, so nothing is interpolated between two marks.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from itertools import pairwise

Mark = tuple[int, int]  # serial, year
Years = tuple[int | None, int | None]  # earliest, latest; None is open
Days = tuple[date | None, date | None]


def year_range(serial: int, marks: Sequence[Mark]) -> Years:
    """The years between the marks on either side of a serial, in no order; None where no mark stands.

    A mark on the serial itself gives its year. Where neighbours contradict each other (a higher number with
    an earlier year) the range covers both years, never less: see `conflicting_marks`.
    """
    exactly = [year for number, year in marks if number == serial]
    if exactly:
        return min(exactly), max(exactly)
    below, above = neighbouring_marks(serial, marks)
    if below and above:
        return min(below[1], above[1]), max(below[1], above[1])
    return below and below[1], above and above[1]


def neighbouring_marks(serial: int, marks: Sequence[Mark]) -> tuple[Mark | None, Mark | None]:
    """The marks that the range rests on: the nearest below and above, or the mark on the serial twice.

    Of several years for one number the widest pair is taken: the earliest below, the latest above.
    """
    at_or_below = [mark for mark in marks if mark[0] <= serial]
    at_or_above = [mark for mark in marks if mark[0] >= serial]
    below = max(at_or_below, key=lambda mark: (mark[0], -mark[1]), default=None)
    above = min(at_or_above, key=lambda mark: (mark[0], -mark[1]), default=None)
    return below, above


def conflicting_marks(marks: Sequence[Mark]) -> list[tuple[Mark, Mark]]:
    """Neighbouring marks that cannot both be right: a higher serial earlier, or one serial with two years."""
    ordered = sorted(set(marks))
    return [(low, high) for low, high in pairwise(ordered) if high[1] < low[1] or high[0] == low[0]]


@dataclass(frozen=True, slots=True)
class Bound:
    """One piece of evidence: made "not before" or "not after" a year, and why."""

    side: str
    year: int
    reason: str = ""

    def __post_init__(self) -> None:
        if self.side not in {"not before", "not after"}:
            raise ValueError(f"Evidence says “not before” or “not after” a year, not “{self.side:.20}”.")


@dataclass(frozen=True, slots=True)
class Step:
    """A range after one more piece of evidence, which "narrows" it, "agrees" with it or "contradicts" it."""

    bound: Bound
    years: Years
    effect: str


def narrowed(years: Years, evidence: Sequence[Bound]) -> tuple[Step, ...]:
    """How each piece narrows the range, in the given order; a contradiction leaves the range as it was.

    The last step's years are the outcome. ValueError when the range to start from runs backwards.
    """
    earliest, latest = years
    if earliest is not None and latest is not None and earliest > latest:
        raise ValueError(f"{earliest} to {latest} runs backwards.")
    steps: list[Step] = []
    for bound in evidence:
        years, effect = _one_step(years, bound)
        steps.append(Step(bound, years, effect))
    return tuple(steps)


def is_looser(new: Days, old: Days) -> bool:
    """Whether a range of days says less than another: it is wider, or of two open ones it reaches further.

    Each is its earliest and latest day as `edtf.bounds` gives them, None where that end is open.
    """
    if None not in new and None not in old:
        return new[1] - new[0] > old[1] - old[0]
    if None not in old:
        return True
    reaches_back = new[0] is None or (old[0] is not None and new[0] <= old[0])
    reaches_on = new[1] is None or (old[1] is not None and new[1] >= old[1])
    return None in new and new != old and reaches_back and reaches_on


def years_edtf(years: Years) -> str:
    """The range as EDTF: "1912", "1910/1914", "../1914", "1910/.."; "" when nothing is known."""
    earliest, latest = years
    if earliest is None and latest is None:
        return ""
    if earliest == latest:
        return f"{earliest:04}"
    start, end = (".." if year is None else f"{year:04}" for year in years)
    return f"{start}/{end}"


def _one_step(years: Years, bound: Bound) -> tuple[Years, str]:
    earliest, latest = years
    if bound.side == "not before":
        if latest is not None and bound.year > latest:
            return years, "contradicts"
        tighter = earliest is None or bound.year > earliest
        return ((bound.year, latest), "narrows") if tighter else (years, "agrees")
    if earliest is not None and bound.year < earliest:
        return years, "contradicts"
    tighter = latest is None or bound.year < latest
    return ((earliest, bound.year), "narrows") if tighter else (years, "agrees")
