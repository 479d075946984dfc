"""The life line standing up, for a phone: time runs down, bars on the left, their labels beside them."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from instruments.drawings import ink
from instruments.drawings.life_line.axis import Axis, axis_for
from instruments.drawings.life_line.bars import Reach, Track, bar, reach_of
from instruments.drawings.life_line.entries import Entry, Span, in_order
from instruments.drawings.life_line.lettering import LINE, Label, set_label
from instruments.drawings.life_line.stacking import lanes_of, spread
from instruments.drawings.life_line.wide import YEAR_SIZE, finished
from instruments.drawings.life_line.words import description, name
from instruments.drawings.shapes import Drawing, Group, Line, Shape, Text, polyline

TOP = 26.0
YEARS_WIDTH = 40.0
LANE, LANES_WIDTH = 17.0, 110.0
LEAD = 24.0
BETWEEN_LABELS = 9.0
CLOSEST_YEARS = 34.0
SHORTEST_LINE = 300.0


@dataclass(frozen=True, slots=True)
class Plan:
    """The axis, and for each entry in its order the bar, its lane from the left and its label."""

    axis: Axis
    reaches: list[Reach]
    lanes: list[int]
    labels: list[Label]

    @property
    def pitch(self) -> float:
        return _pitch(self.lanes)

    @property
    def lanes_end(self) -> float:
        return _lanes_end(self.lanes)

    def track(self, place: int) -> Track:
        near = YEARS_WIDTH + (self.lanes[place] + 0.12) * self.pitch
        return Track(near, near + 0.76 * self.pitch, stands=True)

    def anchor(self, place: int) -> float:
        """Where the lead leaves a bar: near its beginning, or the middle of a sign."""
        reach = self.reaches[place]
        return reach.middle if reach.is_sign else min(reach.firm_start + 7, reach.firm_end)


def upright_life_line(
    entries: Sequence[Entry], *, today: date, width: float = 328, subject: str = "the instrument"
) -> Drawing:
    placed = in_order(entries, today)
    plan = _plan(placed, today, width)
    heights = [label.height + BETWEEN_LABELS for label in plan.labels]
    anchors = [plan.anchor(place) for place in range(len(placed))]
    middles = spread(anchors, heights, plan.axis.start, plan.axis.end)
    drawing = Drawing(width, 0, name(subject), description(entries, today), kind="life-upright")
    if placed:
        drawing.extend(_years(plan.axis, today, plan.lanes_end))
        drawing.extend(_leads(plan, anchors, middles))
        drawing.extend(_entries(placed, plan, middles))
    return finished(drawing, entries, left=2, width=width - 4, top=plan.axis.end + 36)


def _plan(placed: Sequence[tuple[Entry, Span]], today: date, width: float) -> Plan:
    """Lanes need the axis, the axis its length, the length the labels, and these the lanes: a few rounds."""
    spans = [span for _, span in placed]
    length, lanes = SHORTEST_LINE, [0] * len(placed)
    while True:
        room = width - _lanes_end(lanes) - LEAD
        labels = [set_label(entry.label, entry.detail, room) for entry, _ in placed]
        length = max(length, sum(label.height + BETWEEN_LABELS for label in labels))
        axis = axis_for(spans, today, start=TOP, length=length, closest=CLOSEST_YEARS)
        reaches = [reach_of(span, axis) for span in spans]
        needed = lanes_of([(reach.start, reach.end) for reach in reaches])
        if max(needed, default=0) <= max(lanes, default=0):
            return Plan(axis, reaches, needed, labels)
        lanes = needed


def _pitch(lanes: Sequence[int]) -> float:
    return min(LANE, LANES_WIDTH / (max(lanes, default=0) + 1))


def _lanes_end(lanes: Sequence[int]) -> float:
    return YEARS_WIDTH + _pitch(lanes) * (max(lanes, default=0) + 1)


def _years(axis: Axis, today: date, right: float) -> Iterator[Shape]:
    """The years, and today: a dotted line, named where no year stands in the way."""
    for year in axis.years:
        y = axis.at_year(year)
        yield Line(YEARS_WIDTH - 6, y, right + 2, y, stroke=ink.LINE, stroke_width=0.9)
        yield Text(YEARS_WIDTH - 10, y + 4, str(year), size=YEAR_SIZE, anchor="end", fill=ink.SOFT_INK)
    y = axis.at(today.toordinal())
    yield Line(YEARS_WIDTH - 6, y, right + 2, y, stroke=ink.LINE_STRONG, stroke_width=0.9, dash=(1.5, 2.5))
    if all(abs(axis.at_year(year) - y) > YEAR_SIZE for year in axis.years):
        yield Text(YEARS_WIDTH - 10, y + 4, "today", size=YEAR_SIZE, anchor="end", fill=ink.SOFT_INK)


def _leads(plan: Plan, anchors: Sequence[float], middles: Sequence[float]) -> Iterator[Shape]:
    right = plan.lanes_end
    for place, (anchor, middle) in enumerate(zip(anchors, middles, strict=True)):
        start = (plan.track(place).middle, anchor)
        bend, end = (right + LEAD - 9, middle), (right + LEAD - 5, middle)
        yield polyline([start, (right + 4, anchor), bend, end], stroke=ink.LINE_STRONG, stroke_width=0.7)


def _entries(placed: Sequence[tuple[Entry, Span]], plan: Plan, middles: Sequence[float]) -> Iterator[Shape]:
    for place, (entry, _) in enumerate(placed):
        label = plan.labels[place]
        first_baseline = middles[place] - label.height / 2 + LINE - 5
        shapes = [
            *bar(entry, plan.reaches[place], plan.track(place)),
            *label.texts(plan.lanes_end + LEAD, first_baseline),
        ]
        yield Group(
            shapes=tuple(shapes),
            href=entry.href,
            title=entry.words,
            data=(("entry", str(place)),),
            classes=f"life-entry life-{entry.mark}",
        )
