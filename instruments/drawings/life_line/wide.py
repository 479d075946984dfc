"""The life line lying down: time runs to the right, one entry in a row."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from instruments.drawings import ink
from instruments.drawings.life_line.axis import Axis, axis_for
from instruments.drawings.life_line.bars import Reach, Track, bar, reach_of
from instruments.drawings.life_line.entries import CONTRADICTED, Entry, in_order, undated
from instruments.drawings.life_line.legend import legend, undated_lines
from instruments.drawings.life_line.lettering import LINE, SIZE, Label, set_label
from instruments.drawings.life_line.words import NOTHING_DATED, description, name
from instruments.drawings.shapes import Drawing, Group, Line, Shape, Text

MARGIN = 22.0
TOP = 22.0
THICKNESS = 13.0
ROW = 36.0
BESIDE = 9.0
CLOSEST_YEARS = 52.0
YEAR_SIZE = 12.5
STRIKE = 6.0


@dataclass(frozen=True, slots=True)
class Row:
    """One entry placed: its bar, and its label beside it or, in the lines under it, below."""

    entry: Entry
    reach: Reach
    label: Label
    label_x: float
    is_below: bool

    @property
    def height(self) -> float:
        return ROW + self.label.height - 2 if self.is_below else ROW


def life_line(
    entries: Sequence[Entry], *, today: date, width: float = 1176, subject: str = "the instrument"
) -> Drawing:
    """`width` in drawing units: text is 14 of them high, so a paper asks for fewer than a page."""
    placed = in_order(entries, today)
    spans = [span for _, span in placed]
    axis = axis_for(spans, today, start=MARGIN, length=width - 2 * MARGIN, closest=CLOSEST_YEARS)
    rows = [_row(entry, reach_of(span, axis), axis) for entry, span in placed]
    foot = TOP + sum(row.height for row in rows) + 4
    drawing = Drawing(width, 0, name(subject), description(entries, today), kind="life")
    if placed:
        drawing.extend(_years(axis, foot))
        drawing.extend(_today(axis, today, foot))
        drawing.extend(_rows(rows))
    return finished(drawing, entries, left=MARGIN, width=axis.length, top=foot + 54)


def finished(drawing: Drawing, entries: Sequence[Entry], *, left: float, width: float, top: float) -> Drawing:
    """The foot of a life line: what its signs mean, and what has no date. Without any date it says so."""
    if any(entry.dated for entry in entries):
        shapes, y = legend(entries, left=left, width=width, top=top)
    else:
        shapes, y = [Text(left, TOP, NOTHING_DATED, size=SIZE, fill=ink.SOFT_INK)], TOP + 8
    drawing.extend(shapes)
    shapes, y = undated_lines(undated(entries), left=left, width=width, top=y + 12)
    drawing.extend(shapes)
    drawing.height = y + 4
    return drawing


def _row(entry: Entry, reach: Reach, axis: Axis) -> Row:
    """The label on the right where it fits, else on the left, else below in as many lines as it needs."""
    strike = STRIKE if entry.mark == CONTRADICTED else 0.0
    label = set_label(entry.label, entry.detail, 10**6)
    right, left = reach.end + strike + BESIDE, reach.start - strike - BESIDE - label.width
    if right + label.width <= axis.end + MARGIN - 2:
        return Row(entry, reach, label, right, False)
    if left >= 2:
        return Row(entry, reach, label, left, False)
    label = set_label(entry.label, entry.detail, axis.length)
    return Row(entry, reach, label, max(axis.start, min(reach.start, axis.end - label.width)), True)


def _rows(rows: Sequence[Row]) -> Iterator[Shape]:
    y = TOP
    for place, row in enumerate(rows):
        track = Track(y + 5, y + 5 + THICKNESS)
        baseline = track.far + LINE if row.is_below else track.middle + 5
        shapes = [*bar(row.entry, row.reach, track), *row.label.texts(row.label_x, baseline)]
        yield Group(
            shapes=tuple(shapes),
            href=row.entry.href,
            title=row.entry.words,
            data=(("entry", str(place)),),
            classes=f"life-entry life-{row.entry.mark}",
        )
        y += row.height


def _years(axis: Axis, foot: float) -> Iterator[Shape]:
    for year in axis.years:
        x = axis.at_year(year)
        yield Line(x, TOP - 6, x, foot, stroke=ink.LINE, stroke_width=0.9)
        yield Text(x, foot + 18, str(year), size=YEAR_SIZE, anchor="middle", fill=ink.SOFT_INK)


def _today(axis: Axis, today: date, foot: float) -> Iterator[Shape]:
    """A fine dark line, and the word over it: everything to its right has yet to happen."""
    x = axis.at(today.toordinal())
    yield Line(x, TOP - 6, x, foot, stroke=ink.LINE_STRONG, stroke_width=0.9, dash=(1.5, 2.5))
    at_end = x > axis.end - 20
    yield Text(
        axis.end + MARGIN - 2 if at_end else x, TOP - 10, "today", size=YEAR_SIZE,
        anchor="end" if at_end else "middle", fill=ink.SOFT_INK,
    )  # fmt: skip
