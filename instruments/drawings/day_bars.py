"""Bars over days: what lies when, with the day it is wanted. Once wide, once narrow for a phone."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from instruments.drawings import ink
from instruments.drawings.shapes import Drawing, Line, Rect, Shape, Text, hatched, polygon

ROW, BAR, TOP, LETTERS = 42, 13, 26, 14
SOLID, OPEN, HATCHED = "solid", "open", "hatched"


@dataclass(frozen=True)
class DayBar:
    """First and last day, both included; `look` is one of solid, open and hatched."""

    first: date
    last: date
    words: str
    look: str = SOLID


@dataclass(frozen=True)
class DayRow:
    """One line of the picture; `wanted` is marked where it falls inside."""

    label: str
    bars: Sequence[DayBar] = ()
    wanted: date | None = None


@dataclass(frozen=True)
class DayChart:
    """What is drawn between two days, both included."""

    name: str
    description: str
    rows: Sequence[DayRow]
    first: date
    last: date


@dataclass(frozen=True)
class DayCut:
    """How wide it is drawn, and how many days may be named along it."""

    kind: str
    width: int
    days_named: int


WIDE_DAYS = DayCut("days", 760, 9)
NARROW_DAYS = DayCut("days-narrow", 330, 4)


@dataclass(frozen=True)
class _Axis:
    chart: DayChart
    cut: DayCut

    @property
    def days(self) -> int:
        return (self.chart.last - self.chart.first).days + 1

    def x(self, day: date) -> float:
        """The left edge of a day, kept inside the picture."""
        place = (day - self.chart.first).days / self.days
        return 1 + (self.cut.width - 2) * min(max(place, 0), 1)

    def ticks(self) -> Iterator[date]:
        """Mondays where they fit, else every so many weeks; days where there is but a week or so."""
        if self.days <= 10:
            step, day = timedelta(days=-(-self.days // self.cut.days_named)), self.chart.first
        else:
            weeks = -(-self.days // (7 * self.cut.days_named))
            step = timedelta(weeks=weeks)
            day = self.chart.first + timedelta(days=-self.chart.first.weekday() % 7)
        while day <= self.chart.last:
            yield day
            day += step


def day_bars(chart: DayChart, cut: DayCut = WIDE_DAYS) -> Drawing:
    axis = _Axis(chart, cut)
    drawing = Drawing(
        width=cut.width,
        height=TOP + ROW * len(chart.rows) + 6,
        name=chart.name,
        description=chart.description,
        kind=cut.kind,
    )
    drawing.extend(_grid(axis, drawing.height))
    for place, row in enumerate(chart.rows):
        drawing.extend(_row(row, TOP + ROW * place, axis))
    return drawing


def _grid(axis: _Axis, height: float) -> Iterator[Shape]:
    for day in axis.ticks():
        x = axis.x(day)
        yield Line(x, TOP - 8, x, height, stroke=ink.LINE, stroke_width=0.8)
        if x < axis.cut.width - 3 * LETTERS:
            yield Text(x + 1, 13, f"{day:%-d %b}", size=LETTERS - 1, fill=ink.SOFT_INK)


def _row(row: DayRow, top: float, axis: _Axis) -> Iterator[Shape]:
    most = int(axis.cut.width / (LETTERS * 0.47))
    label = row.label if len(row.label) <= most else f"{row.label[: most - 1].rstrip()}…"
    yield Text(2, top + 15, label, size=LETTERS, fill=ink.INK)
    for bar in row.bars:
        if bar.first <= axis.chart.last and bar.last >= axis.chart.first:
            yield from _bar(bar, top + 21, axis)
    if row.wanted and axis.chart.first <= row.wanted <= axis.chart.last:
        yield from _wanted(row.wanted, top + 21, axis)


def _bar(bar: DayBar, y: float, axis: _Axis) -> Iterator[Shape]:
    left, right = axis.x(bar.first), axis.x(bar.last + timedelta(days=1))
    rect = Rect(left, y, max(right - left, 3), BAR, fill=ink.SHEET, stroke=ink.INK, title=bar.words)
    if bar.look == SOLID:
        yield Rect(rect.x, y, rect.width, BAR, fill=ink.INK, title=bar.words)
        return
    yield rect
    if bar.look == HATCHED:
        yield from hatched(rect, gap=4, stroke=ink.INK)


def _wanted(day: date, y: float, axis: _Axis) -> Iterator[Shape]:
    """A red line at the end of the day with a flag: shape and place tell it as well as the colour."""
    x = axis.x(day + timedelta(days=1))
    words = f"wanted by {day:%-d %B}"
    yield Line(x, y - 5, x, y + BAR + 4, stroke=ink.RED, stroke_width=2, title=words)
    yield polygon([(x, y - 5), (x - 8, y - 1), (x, y + 3)], fill=ink.RED, title=words)
