"""Readings of a survey drawn over the keys they belong to: pins in N·m, pitch in cents."""

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass

from instruments.drawings import ink
from instruments.drawings.keyboard import WIDE, Cut, Layout, key_shapes, kind_of, note_labels
from instruments.drawings.shapes import Drawing, Line, Rect, Shape, Text, circle
from instruments.drawings.touch_chart import legend

PLOT_TOP, PLOT_HEIGHT = 18, 190
GAP = 22
RULE_DASH = (5, 4)
LEADER = 9  # from the end of a line to its words
SIGNS = ("disc", "ring", "square")


@dataclass(frozen=True)
class Point:
    """One reading; `sign` is a place in SIGNS, `words` are what the pointer and the ear get."""

    key: int
    value: float
    words: str
    sign: int = 0
    stands_out: bool = False


@dataclass(frozen=True)
class Level:
    """A dashed line across with its words beside the plot, or from key to key."""

    value: float
    words: str
    low_key: int | None = None
    high_key: int | None = None

    @property
    def is_across(self) -> bool:
        return self.low_key is None or self.high_key is None


@dataclass(frozen=True)
class Chart:
    """What is drawn: `legend` names the signs that occur, in their order."""

    unit: str
    name: str
    description: str
    points: Sequence[Point]
    levels: Sequence[Level] = ()
    legend: Sequence[str] = ()
    stands_out: str = ""
    least: tuple[float, float] = (0, 10)  # the scale is never narrower


@dataclass(frozen=True)
class Scale:
    low: float
    high: float
    step: float

    def y(self, value: float) -> float:
        return PLOT_TOP + PLOT_HEIGHT * (1 - (value - self.low) / (self.high - self.low))

    @property
    def marks(self) -> list[float]:
        return [self.low + self.step * at for at in range(round((self.high - self.low) / self.step) + 1)]


def survey_drawing(first_key: int, key_count: int, chart: Chart, *, cut: Cut = WIDE) -> Drawing:
    top = PLOT_TOP + PLOT_HEIGHT + GAP
    layout = Layout(first_key, key_count, left=2.6 * cut.letters + 9, top=top, cut=cut)
    points = [point for point in chart.points if layout.holds(point.key)]
    scale = _scale(chart, points)
    words = legend(layout, _legend(chart))
    drawing = Drawing(
        width=layout.left + layout.width + _gutter(cut, chart.levels),
        height=max(line for line, _ in words) + 10,
        name=chart.name,
        description=chart.description,
        kind=kind_of("touch", cut),
    )
    drawing.extend(_grid(layout, scale, chart.unit))
    drawing.extend(_levels(layout, scale, chart.levels))
    drawing.extend(key_shapes(layout, {point.key: point.words for point in points if point.stands_out}))
    drawing.extend(note_labels(layout))
    for point in points:
        x, y = layout.middle(point.key), scale.y(point.value)
        drawing.extend(_sign(x, y, point.sign, point.words, stands_out=point.stands_out))
    drawing.extend(shape for _, shape in words)
    return drawing


def _scale(chart: Chart, points: Iterable[Point]) -> Scale:
    """Round numbers that hold every reading and every line."""
    values = [*chart.least, *(point.value for point in points), *(level.value for level in chart.levels)]
    low, high = min(values), max(values)
    step = _step((high - low) / 6)
    return Scale(math.floor(low / step) * step, math.ceil(high / step) * step, step)


def _step(rough: float) -> float:
    """The next 1, 2 or 5 at the head of a power of ten."""
    power = 10 ** math.floor(math.log10(rough))
    return next(size * power for size in (1, 2, 5, 10) if size * power >= rough * 0.999)


def _grid(layout: Layout, scale: Scale, unit: str) -> Iterator[Shape]:
    right, letters = layout.left + layout.width, layout.cut.letters
    for value in scale.marks:
        y, is_zero = scale.y(value), abs(value) < scale.step / 2
        colour = ink.LINE_STRONG if is_zero else ink.LINE
        yield Line(layout.left, y, right, y, stroke=colour, stroke_width=1.1 if is_zero else 0.8)
        words = _number(value)
        if value == scale.marks[-1]:
            yield Text(2, y - 6, f"{words} {unit}", size=letters, fill=ink.SOFT_INK)
        else:
            yield Text(layout.left - 8, y + letters / 3, words, size=letters, anchor="end", fill=ink.SOFT_INK)


def _levels(layout: Layout, scale: Scale, levels: Iterable[Level]) -> Iterator[Shape]:
    """Dashed lines; those that run all across have their words beside the plot, never on each other."""
    apart, taken = _letters(layout.cut) + 3, -math.inf
    for level in sorted(levels, key=lambda level: -level.value):
        left, right = layout.left, layout.left + layout.width
        if not level.is_across:
            left, right = layout.middle(level.low_key), layout.middle(level.high_key)
        y = scale.y(level.value)
        yield Line(left, y, right, y, stroke=ink.GREEN, stroke_width=1.2, dash=RULE_DASH, title=level.words)
        if level.is_across:
            taken = max(y, taken + apart)
            yield Line(right, y, right + LEADER, taken, stroke=ink.GREEN, stroke_width=0.8)
            x, baseline = right + LEADER + 3, taken + layout.cut.letters / 3
            yield Text(x, baseline, level.words, size=layout.cut.letters - 1, fill=ink.GREEN)


def _gutter(cut: Cut, levels: Iterable[Level]) -> float:
    """The room beside the plot for the words of lines."""
    words = [len(level.words) for level in levels if level.is_across]
    return LEADER + 3 + 0.58 * _letters(cut) * max(words) if words else max(4, cut.letters / 2)


def _letters(cut: Cut) -> float:
    """As large as a page may set them (`lists.css`)."""
    return max(16, cut.letters)


def _sign(x: float, y: float, sign: int, words: str, *, stands_out: bool) -> Iterator[Shape]:
    """Shape tells the string, a red ring tells what stands out: neither hangs on colour alone."""
    colour = ink.RED if stands_out else ink.INK
    if stands_out:
        yield circle(x, y, 6.2, fill=ink.SHEET, stroke=ink.RED, stroke_width=1.2)
    match SIGNS[sign]:
        case "ring":
            yield circle(x, y, 3, fill=ink.SHEET, stroke=colour, stroke_width=1.4, title=words)
        case "square":
            yield Rect(x - 2.8, y - 2.8, 5.6, 5.6, fill=colour, title=words)
        case _:
            yield circle(x, y, 3.2, fill=colour, title=words)


def _legend(chart: Chart) -> list[tuple[str, float, Callable]]:
    entries = [
        (words, 12, lambda x, y, sign=sign: _sign(x, y, sign, "", stands_out=False))
        for sign, words in enumerate(chart.legend)
    ]
    if chart.stands_out:
        entries.append((chart.stands_out, 12, lambda x, y: _sign(x, y, 0, "", stands_out=True)))
    if chart.levels:
        entries.append((_level_words(chart), 26, _level_sample))
    return entries


def _level_sample(x: float, y: float) -> Iterator[Shape]:
    yield Line(x - 4, y, x + 20, y, stroke=ink.GREEN, stroke_width=1.2, dash=RULE_DASH)


def _level_words(chart: Chart) -> str:
    return "a line of the shop’s" if chart.levels[0].is_across else "mean of a section"


def _number(value: float) -> str:
    return f"{value:.6g}".replace("-", "−")
