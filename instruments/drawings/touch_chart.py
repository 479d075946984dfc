"""A weigh-off drawn: down- and up-weights over the keys they belong to, against the target curve."""

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal

from instruments.calc.compass import note_label
from instruments.drawings import ink
from instruments.drawings.keyboard import LABEL_SPACE, NATURAL_HEIGHT, Layout, key_shapes, note_labels
from instruments.drawings.shapes import Drawing, Line, Shape, Text, circle, polygon, polyline

MARGIN_LEFT = 38
PLOT_HEIGHT = 190
GAP = 22
LEGEND_SPACE = 30
PLOT_TOP = 16
STEM = "#dcb0aa"


@dataclass(frozen=True)
class Reading:
    key: int
    down_g: Decimal
    up_g: Decimal | None = None


@dataclass(frozen=True)
class Scale:
    low: int
    high: int

    def y(self, grams: Decimal | float) -> float:
        share = (float(grams) - self.low) / (self.high - self.low)
        return PLOT_TOP + PLOT_HEIGHT * (1 - share)

    @property
    def marks(self) -> range:
        step = 10 if self.high - self.low <= 80 else 20
        return range(-(-self.low // step) * step, self.high + 1, step)


def touch_drawing(
    first_key: int,
    key_count: int,
    readings: Iterable[Reading],
    *,
    targets: Mapping[int, Decimal],
    tolerance_g: Decimal,
    outside: Collection[int] | None = None,
) -> Drawing:
    """`targets`: the wanted down-weight of each key, g. `outside`: the keys to point at; without it, those
    whose down-weight is further than the tolerance from their target."""
    top = PLOT_TOP + PLOT_HEIGHT + GAP
    layout = Layout(first_key, key_count, left=MARGIN_LEFT, top=top)
    readings = [reading for reading in readings if layout.holds(reading.key)]
    if outside is None:
        outside = keys_outside(readings, targets, tolerance_g)
    outside = {key for key in outside if layout.holds(key)}
    scale = _scale(readings, targets, tolerance_g)
    drawing = Drawing(
        width=MARGIN_LEFT + layout.width + 4,
        height=top + NATURAL_HEIGHT + LABEL_SPACE + LEGEND_SPACE,
        name=f"Touch weight of {len(readings)} keys",
        description=_description(readings, outside),
        kind="touch",
    )
    drawing.extend(_grid(layout, scale))
    drawing.extend(_target(layout, scale, targets, float(tolerance_g)))
    drawing.extend(_stems(layout, scale, readings, outside))
    drawing.extend(key_shapes(layout, dict.fromkeys(outside, "outside the target")))
    drawing.extend(note_labels(layout))
    drawing.extend(_points(layout, scale, readings, outside))
    drawing.extend(_legend(layout, tolerance_g))
    return drawing


def keys_outside(
    readings: Iterable[Reading], targets: Mapping[int, Decimal], tolerance_g: Decimal
) -> set[int]:
    return {
        reading.key
        for reading in readings
        if reading.key in targets and abs(reading.down_g - targets[reading.key]) > tolerance_g
    }


def _scale(readings: list[Reading], targets: Mapping[int, Decimal], tolerance_g: Decimal) -> Scale:
    """Whole tens that hold every reading and the band; never narrower than 20 to 60 g."""
    grams = [reading.down_g for reading in readings]
    grams += [reading.up_g for reading in readings if reading.up_g is not None]
    grams += [target + side for target in targets.values() for side in (tolerance_g, -tolerance_g)]
    low, high = min(grams, default=20), max(grams, default=60)
    return Scale(min(20, int(low // 10) * 10), max(60, -int(-high // 10) * 10))


def _grid(layout: Layout, scale: Scale) -> Iterator[Shape]:
    right = layout.left + layout.width
    for grams in scale.marks:
        y = scale.y(grams)
        yield Line(layout.left, y, right, y, stroke=ink.LINE, stroke_width=0.8)
        words = f"{grams} g" if grams == scale.marks[-1] else str(grams)
        yield Text(layout.left - 8, y + 4, words, size=12, anchor="end", fill=ink.SOFT_INK)


def _target(
    layout: Layout, scale: Scale, targets: Mapping[int, Decimal], tolerance: float
) -> Iterator[Shape]:
    curve = [(layout.middle(key), float(targets[key])) for key in layout.own_keys if key in targets]
    if len(curve) < 2:
        return
    over = [(x, scale.y(grams + tolerance)) for x, grams in curve]
    under = [(x, scale.y(grams - tolerance)) for x, grams in reversed(curve)]
    yield polygon(over + under, fill=ink.GREEN_WASH)
    yield polyline([(x, scale.y(grams)) for x, grams in curve], stroke=ink.GREEN, stroke_width=1.4)


def _stems(
    layout: Layout, scale: Scale, readings: list[Reading], outside: Collection[int]
) -> Iterator[Shape]:
    for reading in readings:
        if reading.key in outside:
            x = layout.middle(reading.key)
            yield Line(x, scale.y(reading.down_g) + 5, x, layout.top, stroke=STEM, stroke_width=1)


def _points(
    layout: Layout, scale: Scale, readings: list[Reading], outside: Collection[int]
) -> Iterator[Shape]:
    for reading in readings:
        x, name = layout.middle(reading.key), note_label(reading.key)
        if reading.up_g is not None:
            yield circle(
                x, scale.y(reading.up_g), 3, fill=ink.SHEET, stroke=ink.SOFT_INK, stroke_width=1.2,
                title=f"{name}: {_grams(reading.up_g)} g up",
            )  # fmt: skip
        words = f"{name}: {_grams(reading.down_g)} g down"
        yield from _down_point(x, scale.y(reading.down_g), words, is_outside=reading.key in outside)


def _down_point(x: float, y: float, words: str, *, is_outside: bool) -> Iterator[Shape]:
    if is_outside:
        yield circle(x, y, 5.6, fill=ink.SHEET, stroke=ink.RED, stroke_width=1.3)
        yield circle(x, y, 3.4, fill=ink.RED, title=f"{words}, outside the target")
    else:
        yield circle(x, y, 3.2, fill=ink.INK, title=words)


def _legend(layout: Layout, tolerance_g: Decimal) -> Iterator[Shape]:
    y = layout.top + NATURAL_HEIGHT + LABEL_SPACE + 20
    x = layout.left + 6
    entries = (
        ("down-weight", [circle(x, y - 4, 3.2, fill=ink.INK)], 104),
        ("up-weight", [circle(x + 104, y - 4, 3, fill=ink.SHEET, stroke=ink.SOFT_INK, stroke_width=1.2)], 90),
        ("outside the target", list(_down_point(x + 194, y - 4, "", is_outside=True)), 142),
        (f"target, within {_grams(tolerance_g)} g", list(_band_sample(x + 336, y - 4)), 0),
    )
    start = x
    for words, signs, advance in entries:
        yield from signs
        yield Text(start + (26 if advance == 0 else 12), y, words, size=13, fill=ink.SOFT_INK)
        start += advance


def _band_sample(x: float, y: float) -> Iterator[Shape]:
    yield polygon([(x - 4, y - 5), (x + 18, y - 5), (x + 18, y + 5), (x - 4, y + 5)], fill=ink.GREEN_WASH)
    yield Line(x - 4, y, x + 18, y, stroke=ink.GREEN, stroke_width=1.4)


def _grams(grams: Decimal) -> str:
    return f"{grams:f}".rstrip("0").rstrip(".") if "." in f"{grams:f}" else f"{grams:f}"


def _description(readings: list[Reading], outside: Collection[int]) -> str:
    if not readings:
        return "Nothing has been weighed yet."
    if not outside:
        return "Every down-weight lies within the target."
    names = ", ".join(note_label(key) for key in sorted(outside))
    return f"{len(outside)} outside the target: {names}."
