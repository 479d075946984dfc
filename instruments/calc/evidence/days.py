"""The days a claim leaves open, with room for doubt: what a conflict has to be proven against."""

from dataclasses import dataclass
from datetime import date

from instruments.calc.edtf import Interval, OneOf, Point, parse

# "About" and "perhaps" have no width in the standard. A date so marked is given ten years each way (a month's
# or a day's mark one year, one month) before it may contradict anything: our own rule.
HEDGE_DAYS = (3653, 366, 31)
FIRST, LAST = date.min.toordinal(), date.max.toordinal()


@dataclass(frozen=True, slots=True)
class Box:
    """The first and the last day something can lie on, as ordinals."""

    low: int = FIRST
    high: int = LAST

    def widened(self, days: int) -> "Box":
        return Box(max(FIRST, self.low - days), min(LAST, self.high + days))


@dataclass(frozen=True, slots=True)
class Reach:
    """A stretch of time whose ends are half known: it must cover a day of `within`, when that is all we have.

    `starts_by` is the last day it can begin on, `ends_from` the first day it can end on.
    """

    start: Box
    end: Box
    within: Box

    @property
    def starts_by(self) -> int:
        return min(self.start.high, self.end.high, self.within.high)

    @property
    def ends_from(self) -> int:
        return max(self.start.low, self.end.low, self.within.low)


def event_box(text: str) -> Box:
    """The days of something that happened once; "" leaves every day open."""
    if not text:
        return Box()
    found = parse(text)
    if isinstance(found, OneOf):
        boxes = [_box_of(choice) for choice in found.choices]
        return Box(min(box.low for box in boxes), max(box.high for box in boxes))
    return _box_of(found)


def stretch_reach(text: str) -> Reach:
    """The ends of something that lasted: an interval's two dates, or a day within it when that is all."""
    found = parse(text) if text else None
    if isinstance(found, Interval):
        return Reach(_point_box(found.start), _point_box(found.end), Box())
    return Reach(Box(), Box(), event_box(text))


def _box_of(found: Point | Interval) -> Box:
    if isinstance(found, Point):
        return _point_box(found)
    return Box(_point_box(found.start).low, _point_box(found.end).high)


def _point_box(point: Point | None) -> Box:
    if point is None:
        return Box()
    box = Box(point.earliest.toordinal(), point.latest.toordinal())
    doubted = next((place for place, mark in enumerate(point.marks) if mark), None)
    return box if doubted is None else box.widened(HEDGE_DAYS[doubted])
