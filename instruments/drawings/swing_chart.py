"""How one result moves with each figure that it rests on: a bar for each, the widest on top."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from instruments.drawings import ink
from instruments.drawings.shapes import Drawing, Line, Rect, Shape, Text

WIDTH, SIDE = 340, 6
ROW, BAR, FIRST = 44, 12, 34
LETTERS = 14
LOWER = "#b9ad9b"


@dataclass(frozen=True)
class Bar:
    """One figure: its name, the result if it is lower and if it is higher, and both in words."""

    name: str
    if_lower: int
    if_higher: int
    words: str


def swing_drawing(bars: Sequence[Bar], *, result: int, result_words: str, name: str) -> Drawing:
    """The line is the result as it stands; pale where the figure is lower, green where it is higher."""
    ends = [result, *(end for bar in bars for end in (bar.if_lower, bar.if_higher))]
    low, high = min(ends), max(ends)
    spread = max(1, high - low)

    def x(value: int) -> float:
        return SIDE + (WIDTH - 2 * SIDE) * (value - low) / spread

    drawing = Drawing(
        width=WIDTH,
        height=FIRST + ROW * len(bars) + 4,
        name=name,
        description=f"As it stands: {result_words}. " + " ".join(f"{bar.words}." for bar in bars),
        kind="swing",
    )
    at = x(result)
    drawing.extend([Line(at, 18, at, 28, stroke=ink.INK, stroke_width=1)])
    drawing.extend(
        [Text(*_beside(at), result_words, size=LETTERS, anchor=_anchor(at), face="sans-strong", fill=ink.INK)]
    )
    for row, bar in enumerate(bars):
        drawing.extend(_bar(bar, x, at, FIRST + ROW * row))
    return drawing


def _beside(at: float) -> tuple[float, float]:
    return min(max(at, SIDE), WIDTH - SIDE), 14


def _anchor(at: float) -> str:
    if at < WIDTH / 3:
        return "start"
    return "end" if at > WIDTH * 2 / 3 else "middle"


def _bar(bar: Bar, x, at: float, top: float) -> Iterator[Shape]:
    yield Text(SIDE, top + LETTERS, bar.name, size=LETTERS, fill=ink.INK)
    y = top + LETTERS + 6
    for end, colour in ((bar.if_lower, LOWER), (bar.if_higher, ink.GREEN)):
        left, right = sorted((at, x(end)))
        yield Rect(left, y, max(1.0, right - left), BAR, fill=colour, title=bar.words)
    yield Line(at, y - 4, at, y + BAR + 4, stroke=ink.INK, stroke_width=1.2)
