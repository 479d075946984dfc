"""The marks themselves: bars with firm or soft ends, and the small signs for what took a day.

Everything is drawn along the line and across it, so that one bar serves a line that lies and one that stands.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from instruments.drawings import ink
from instruments.drawings.life_line.axis import Axis
from instruments.drawings.life_line.entries import CONTRADICTED, INFERRED, TOLD, Entry, Span
from instruments.drawings.shapes import Line, Path, Rect, Shape, circle, hatched, polygon

SHORTEST = 12.0  # a bar that would be shorter becomes a sign of this length
FADE = 26.0  # how far an open end fades out
HEDGE = 9.0  # how far a date in doubt fades out on either side
STRIPE_GAP = 3.0
HATCH_GAP = 5.0
DASH = (4.0, 2.6)
DOTS = (1.4, 2.8)


@dataclass(frozen=True, slots=True)
class Reach:
    """A bar along the line in drawing units: soft from `start`, firm from `firm_start` to `firm_end`."""

    start: float
    firm_start: float
    firm_end: float
    end: float

    @property
    def is_sign(self) -> bool:
        """Too short for a bar: a sign for one day or so."""
        longest = SHORTEST + 0.5
        is_short = self.firm_end - self.firm_start < longest
        return is_short and self.end - self.start < longest + 2 * HEDGE

    @property
    def middle(self) -> float:
        return (self.firm_start + self.firm_end) / 2


def reach_of(span: Span, axis: Axis) -> Reach:
    """The span along the line: never shorter than a sign, open ends faded out, doubt shown on its side."""
    firm_start, firm_end = axis.at(span.firm_from), axis.at(span.firm_to)
    if firm_end - firm_start < SHORTEST:
        half = SHORTEST / 2
        middle = min(max((firm_start + firm_end) / 2, axis.start + half), axis.end - half)
        firm_start, firm_end = middle - half, middle + half
    before = _softness(span.soft_from, span.firm_from, firm_start, span, axis)
    after = _softness(span.soft_to, span.firm_to, firm_end, span, axis)
    start = max(firm_start - before, axis.start - FADE / 2)
    return Reach(start, firm_start, firm_end, min(firm_end + after, axis.end + FADE / 2))


def _softness(soft: int | None, firm: int, drawn: float, span: Span, axis: Axis) -> float:
    """How far an end is soft: to its last day, and at least far enough to be seen."""
    if soft is None:
        return FADE
    beyond = (drawn - axis.at(soft)) * (1 if soft <= firm else -1)
    if soft == firm:
        return HEDGE if span.is_hedged else 0.0
    return max(beyond, HEDGE)


@dataclass(frozen=True, slots=True)
class Track:
    """Where a bar runs: across the line it takes from `near` to `far`; `stands` turns it upright."""

    near: float
    far: float
    stands: bool = False

    @property
    def thickness(self) -> float:
        return self.far - self.near

    @property
    def middle(self) -> float:
        return (self.near + self.far) / 2

    def rect(self, start: float, end: float, **look) -> Rect:
        if self.stands:
            return Rect(self.near, start, self.thickness, end - start, **look)
        return Rect(start, self.near, end - start, self.thickness, **look)

    def line(self, start: float, near: float, end: float, far: float, **look) -> Line:
        if self.stands:
            return Line(near, start, far, end, **look)
        return Line(start, near, end, far, **look)

    def point(self, along: float, across: float) -> tuple[float, float]:
        return (across, along) if self.stands else (along, across)


def bar(entry: Entry, reach: Reach, track: Track) -> Iterator[Shape]:
    """The shapes of one entry: a bar, or a sign where a bar would be too short to see."""
    if entry.mark == CONTRADICTED:
        yield from _contradicted(reach, track)
    elif entry.mark == TOLD:
        yield from _told(reach, track)
    elif entry.mark == INFERRED:
        yield from _inferred(reach, track)
    elif reach.is_sign and entry.kind in _SIGNS:
        yield from _SIGNS[entry.kind](reach.middle, track)
        yield from _stripes(reach, track, ink.INK)
    else:
        yield from _firm(reach, track, entry.kind)


def _firm(reach: Reach, track: Track, kind: str) -> Iterator[Shape]:
    colour = ink.GREEN if kind == "work" else ink.INK
    if kind == "promise":
        radius = min(track.thickness / 2, (reach.firm_end - reach.firm_start) / 2)
        look = {"fill": ink.SHEET, "stroke": ink.INK, "stroke_width": 1.6, "radius": radius}
        yield track.rect(reach.firm_start, reach.firm_end, **look)
    else:
        yield track.rect(reach.firm_start, reach.firm_end, fill=colour, radius=1.5)
    if kind == "work":
        # A pale line along it, so that work is told from a statement without its colour.
        inside = (reach.firm_start + 3, track.middle, reach.firm_end - 3, track.middle)
        yield track.line(*inside, stroke=ink.SHEET, stroke_width=1.6)
    yield from _stripes(reach, track, colour)


def _stripes(reach: Reach, track: Track, colour: str) -> Iterator[Shape]:
    """Soft ends as an engraver makes them: lines that thin out the farther they are from what is firm."""
    for firm, soft in ((reach.firm_start, reach.start), (reach.firm_end, reach.end)):
        count = int(abs(soft - firm) // STRIPE_GAP)
        direction = 1 if soft > firm else -1
        for place in range(1, count + 1):
            along = firm + direction * (place * STRIPE_GAP - 0.6)
            width = 1.9 - 1.4 * place / (count + 1)
            yield track.line(along, track.near, along, track.far, stroke=colour, stroke_width=round(width, 2))


def _told(reach: Reach, track: Track) -> Iterator[Shape]:
    inside = track.rect(reach.start, reach.end, fill=ink.SHEET)
    yield inside
    yield _hatching(inside)
    yield from _outline(reach, track, ink.INK, 1.0)


def _hatching(inside: Rect) -> Path:
    """All its lines as one path: a long bar would else be a hundred shapes."""
    lines = hatched(inside, gap=HATCH_GAP, stroke=ink.INK)
    steps = [step for line in lines for step in (("M", line.x1, line.y1), ("L", line.x2, line.y2))]
    return Path(tuple(steps), stroke=ink.INK, stroke_width=0.75)


def _inferred(reach: Reach, track: Track) -> Iterator[Shape]:
    """Dashed all round; dotted across an end that is soft."""
    yield track.rect(reach.start, reach.end, fill=ink.SHEET)
    edge = {"stroke": ink.INK, "stroke_width": 1.2}
    for across in (track.near, track.far):
        yield track.line(reach.start, across, reach.end, across, dash=DASH, **edge)
    for firm, soft in ((reach.firm_start, reach.start), (reach.firm_end, reach.end)):
        yield track.line(soft, track.near, soft, track.far, dash=DASH if soft == firm else DOTS, **edge)


def _contradicted(reach: Reach, track: Track) -> Iterator[Shape]:
    yield track.rect(reach.start, reach.end, fill=ink.SHEET)
    yield from _outline(reach, track, ink.RED, 1.2)
    beyond = 5.0
    strike = {"stroke": ink.RED, "stroke_width": 1.8}
    yield track.line(reach.start - beyond, track.far + 3, reach.end + beyond, track.near - 3, **strike)


def _outline(reach: Reach, track: Track, colour: str, width: float) -> Iterator[Shape]:
    """Long sides all along, dotted where the bar is soft; a short side only where its end is firm."""
    edge = {"stroke": colour, "stroke_width": width}
    for across in (track.near, track.far):
        yield track.line(reach.firm_start, across, reach.firm_end, across, **edge)
        for firm, soft in ((reach.firm_start, reach.start), (reach.firm_end, reach.end)):
            if soft != firm:
                yield track.line(firm, across, soft, across, dash=DOTS, **edge)
    for firm, soft in ((reach.firm_start, reach.start), (reach.firm_end, reach.end)):
        if soft == firm:
            yield track.line(firm, track.near, firm, track.far, **edge)


def _work_sign(along: float, track: Track) -> Iterator[Shape]:
    centre = track.point(along, track.middle)
    yield circle(*centre, track.thickness / 2, fill=ink.GREEN)
    yield circle(*centre, track.thickness / 6, fill=ink.SHEET)


def _promise_sign(along: float, track: Track) -> Iterator[Shape]:
    radius = track.thickness / 2 - 0.8
    yield circle(*track.point(along, track.middle), radius, fill=ink.SHEET, stroke=ink.INK, stroke_width=1.6)


def _purchase_sign(along: float, track: Track) -> Iterator[Shape]:
    half = track.thickness / 2 + 0.6
    corners = ((-half, 0), (0, half), (half, 0), (0, -half))
    yield polygon([track.point(along + a, track.middle + b) for a, b in corners], fill=ink.INK)


_SIGNS = {"work": _work_sign, "promise": _promise_sign, "purchase": _purchase_sign}
