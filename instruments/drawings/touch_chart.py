"""A weigh-off drawn: down- and up-weights over the keys they belong to, against the target curve."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import Decimal

from instruments.calc.compass import note_label
from instruments.calc.touchweight import KeyVerdict, target_g
from instruments.drawings import ink
from instruments.drawings.keyboard import NATURAL_HEIGHT, WIDE, Cut, Layout, key_shapes, kind_of, note_labels
from instruments.drawings.shapes import Drawing, Line, Shape, Text, circle, polygon, polyline

PLOT_HEIGHT = 190
GAP = 22
PLOT_TOP = 16
STEM = "#dcb0aa"
BEFORE = {"down": "#8a7d6b", "up": "#b9ad9b"}
CAUSES = {
    "friction": "friction",
    "weight": "weight",
    "light": "too light",
    "stuck": "does not return",
    "unknown": "no up-weight, so nothing tells why",
}


@dataclass(frozen=True)
class Curve:
    """The down-weights aimed at, in grams, and how far a key may lie from them."""

    bass_g: Decimal = Decimal(52)
    middle_g: Decimal = Decimal(50)
    treble_g: Decimal = Decimal(48)
    tolerance_g: Decimal = Decimal(2)

    def along(self, layout: Layout) -> dict[int, Decimal]:
        return {
            key: target_g(
                position, layout.key_count, bass_g=self.bass_g, middle_g=self.middle_g, treble_g=self.treble_g
            )
            for position, key in enumerate(layout.own_keys, start=1)
        }


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
    weighed: Iterable[KeyVerdict],
    *,
    curve: Curve | None = None,
    before: Iterable[KeyVerdict] = (),
    cut: Cut = WIDE,
) -> Drawing:
    """`weighed`: keys as `instruments.calc.touchweight.verdict` judged them; `before`: the same, earlier."""
    curve = curve or Curve()
    top = PLOT_TOP + PLOT_HEIGHT + GAP
    layout = Layout(first_key, key_count, left=2.4 * cut.letters + 9, top=top, cut=cut)
    keys = [key for key in weighed if layout.holds(key.key)]
    earlier = [key for key in before if layout.holds(key.key)]
    targets = curve.along(layout)
    scale = _scale([*keys, *earlier], targets, curve.tolerance_g)
    legend = _legend(layout, curve.tolerance_g, has_before=bool(earlier))
    drawing = Drawing(
        width=layout.left + layout.width + max(4, cut.letters / 2),
        height=max(line for line, _ in legend) + 10,
        name=f"Touch weight of {len(keys)} keys",
        description=_description(keys),
        kind=kind_of("touch", cut),
    )
    drawing.extend(_grid(layout, scale))
    drawing.extend(_target(layout, scale, targets, curve.tolerance_g))
    drawing.extend(_earlier(layout, scale, earlier, {key.key: key for key in keys}))
    drawing.extend(_stems(layout, scale, keys))
    drawing.extend(key_shapes(layout, {key.key: _why(key) for key in keys if not key.inside}))
    drawing.extend(note_labels(layout))
    drawing.extend(_points(layout, scale, keys))
    drawing.extend(shape for _, shape in legend)
    return drawing


def _scale(keys: list[KeyVerdict], targets: Mapping[int, Decimal], tolerance_g: Decimal) -> Scale:
    """Whole tens that hold every reading and the band; never narrower than 20 to 60 g."""
    grams = [key.down_g for key in keys]
    grams += [key.up_g for key in keys if key.up_g is not None]
    grams += [target + side for target in targets.values() for side in (tolerance_g, -tolerance_g)]
    low, high = min(grams), max(grams)
    return Scale(min(20, int(low // 10) * 10), max(60, -int(-high // 10) * 10))


def _grid(layout: Layout, scale: Scale) -> Iterator[Shape]:
    right = layout.left + layout.width
    for grams in scale.marks:
        y = scale.y(grams)
        yield Line(layout.left, y, right, y, stroke=ink.LINE, stroke_width=0.8)
        words = f"{grams} g" if grams == scale.marks[-1] else str(grams)
        letters = layout.cut.letters
        yield Text(layout.left - 8, y + letters / 3, words, size=letters, anchor="end", fill=ink.SOFT_INK)


def _target(
    layout: Layout, scale: Scale, targets: Mapping[int, Decimal], tolerance_g: Decimal
) -> Iterator[Shape]:
    curve = [(layout.middle(key), grams) for key, grams in targets.items()]
    over = [(x, scale.y(grams + tolerance_g)) for x, grams in curve]
    under = [(x, scale.y(grams - tolerance_g)) for x, grams in reversed(curve)]
    yield polygon(over + under, fill=ink.GREEN_WASH)
    yield polyline([(x, scale.y(grams)) for x, grams in curve], stroke=ink.GREEN, stroke_width=1.4)


def _stems(layout: Layout, scale: Scale, keys: list[KeyVerdict]) -> Iterator[Shape]:
    for key in keys:
        if not key.inside:
            x = layout.middle(key.key)
            yield Line(x, scale.y(key.down_g) + 5, x, layout.top, stroke=STEM, stroke_width=1)


def _earlier(
    layout: Layout, scale: Scale, keys: list[KeyVerdict], now: Mapping[int, KeyVerdict]
) -> Iterator[Shape]:
    """A short bar where each weight stood before, and a pale line from there to where it stands now."""
    for key in keys:
        x, later = layout.middle(key.key), now.get(key.key)
        for side, grams, there in (
            ("down", key.down_g, later and later.down_g),
            ("up", key.up_g, later and later.up_g),
        ):
            if grams is None:
                continue
            y = scale.y(grams)
            if there is not None:
                yield Line(x, y, x, scale.y(there), stroke=ink.LINE_STRONG, stroke_width=0.7)
            words = f"{note_label(key.key)}: {_grams(grams)} g {side} before"
            yield Line(x - 4, y, x + 4, y, stroke=BEFORE[side], stroke_width=1.8, title=words)


def _points(layout: Layout, scale: Scale, keys: list[KeyVerdict]) -> Iterator[Shape]:
    for key in keys:
        x, name = layout.middle(key.key), note_label(key.key)
        if key.up_g is not None:
            words = f"{name}: {_grams(key.up_g)} g up"
            yield circle(
                x, scale.y(key.up_g), 3, fill=ink.SHEET, stroke=ink.SOFT_INK, stroke_width=1.2, title=words
            )
        words = f"{name}: {_grams(key.down_g)} g down"
        if not key.inside:
            words += f", {_why(key)}"
        yield from _down_point(x, scale.y(key.down_g), words, is_outside=not key.inside)


def _why(key: KeyVerdict) -> str:
    return f"outside the curve: {CAUSES[key.cause]}"


def _down_point(x: float, y: float, words: str, *, is_outside: bool) -> Iterator[Shape]:
    if is_outside:
        yield circle(x, y, 5.6, fill=ink.SHEET, stroke=ink.RED, stroke_width=1.3)
        yield circle(x, y, 3.4, fill=ink.RED, title=words)
    else:
        yield circle(x, y, 3.2, fill=ink.INK, title=words)


def _legend(layout: Layout, tolerance_g: Decimal, *, has_before: bool) -> list[tuple[float, Shape]]:
    entries = [
        ("down-weight", 12, lambda x, y: [circle(x, y, 3.2, fill=ink.INK)]),
        ("up-weight", 12, _up_sample),
        ("outside the curve", 12, lambda x, y: _down_point(x, y, "", is_outside=True)),
        (f"target, within {_grams(tolerance_g)} g", 26, _band_sample),
    ]
    if has_before:
        entries.append(("before", 12, _before_sample))
    return legend(layout, entries)


Sign = Callable[[float, float], Iterable[Shape]]


def legend(layout: Layout, entries: Iterable[tuple[str, float, Sign]]) -> list[tuple[float, Shape]]:
    """The signs and their words, each with the height it stands at: in one line, or in more if need be."""
    letters = layout.cut.letters + 1
    x, y = layout.left + 6, layout.top + NATURAL_HEIGHT + layout.cut.label_space + letters + 7
    shapes: list[tuple[float, Shape]] = []
    for words, room, signs in entries:
        width = room + 0.6 * letters * len(words)  # a page may set the letters larger than we do
        if x + width > layout.left + layout.width and shapes:
            x, y = layout.left + 6, y + letters + 9
        shapes += [(y, sign) for sign in signs(x, y - letters / 3)]
        shapes.append((y, Text(x + room, y, words, size=letters, fill=ink.SOFT_INK)))
        x += width + 20
    return shapes


def _before_sample(x: float, y: float) -> Iterator[Shape]:
    yield Line(x - 4, y, x + 4, y, stroke=BEFORE["down"], stroke_width=1.8)


def _up_sample(x: float, y: float) -> Iterator[Shape]:
    yield circle(x, y, 3, fill=ink.SHEET, stroke=ink.SOFT_INK, stroke_width=1.2)


def _band_sample(x: float, y: float) -> Iterator[Shape]:
    yield polygon([(x - 4, y - 5), (x + 18, y - 5), (x + 18, y + 5), (x - 4, y + 5)], fill=ink.GREEN_WASH)
    yield Line(x - 4, y, x + 18, y, stroke=ink.GREEN, stroke_width=1.4)


def _grams(grams: Decimal) -> str:
    return f"{grams:f}".rstrip("0").rstrip(".") if "." in f"{grams:f}" else f"{grams:f}"


def _description(keys: list[KeyVerdict]) -> str:
    out = [note_label(key.key) for key in keys if not key.inside]
    if not keys:
        return "Nothing has been weighed yet."
    if not out:
        return "Every key weighed lies within the curve."
    return f"{len(out)} outside the curve: {', '.join(out)}."
