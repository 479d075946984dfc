"""Friction and balance weight of a weigh-off, key by key, on the keyboard they belong to."""

from collections.abc import Iterable, Iterator
from decimal import Decimal

from instruments.calc.compass import note_label
from instruments.calc.exact import plain
from instruments.calc.touchweight import HIGH_FRICTION_G, KeyVerdict
from instruments.drawings import ink
from instruments.drawings.keyboard import NATURAL_HEIGHT, WIDE, Cut, Layout, kind_of, note_labels
from instruments.drawings.shapes import Drawing, Line, Rect, Shape, Text, circle
from instruments.drawings.touch_chart import legend

PLOT_TOP = 16
PLOT_HEIGHT = 150
STEP_G = 10


def friction_drawing(
    first_key: int, key_count: int, weighed: Iterable[KeyVerdict], *, cut: Cut = WIDE
) -> Drawing:
    """Bars of friction, red beyond the limit, and balance weights. Keys without an up-weight are left out."""
    # The note names stand straight under the plot: there is no keyboard between.
    layout = Layout(
        first_key,
        key_count,
        left=2.4 * cut.letters + 9,
        top=PLOT_TOP + PLOT_HEIGHT + 4 - NATURAL_HEIGHT,
        cut=cut,
    )
    keys = [key for key in weighed if layout.holds(key.key) and key.friction_g is not None]
    highest = max((key.balance_g + key.friction_g for key in keys), default=Decimal(50))
    high = max(50, -int(-highest // STEP_G) * STEP_G)
    words = legend(
        layout,
        [
            ("friction", 12, _bar_sample(ink.LINE_STRONG)),
            (f"friction above {plain(HIGH_FRICTION_G)} g", 12, _bar_sample(ink.RED)),
            ("balance weight", 12, lambda x, y: [circle(x, y, 3, fill=ink.GREEN)]),
        ],
    )
    drawing = Drawing(
        width=layout.left + layout.width + max(4, cut.letters / 2),
        height=max(line for line, _ in words) + 10,
        name=f"Friction and balance weight of {len(keys)} keys",
        description=_description(keys),
        kind=kind_of("touch", cut),
    )
    drawing.extend(_grid(layout, high))
    drawing.extend(_bars(layout, high, keys))
    drawing.extend(note_labels(layout))
    drawing.extend(shape for _, shape in words)
    return drawing


def _y(grams: Decimal | float, high: int) -> float:
    return PLOT_TOP + PLOT_HEIGHT * (1 - float(grams) / high)


def _grid(layout: Layout, high: int) -> Iterator[Shape]:
    right, letters = layout.left + layout.width, layout.cut.letters
    for grams in range(0, high + 1, STEP_G if high <= 80 else 2 * STEP_G):
        y = _y(grams, high)
        yield Line(layout.left, y, right, y, stroke=ink.LINE, stroke_width=0.8)
        words = f"{grams} g" if grams >= high else str(grams)
        yield Text(layout.left - 8, y + letters / 3, words, size=letters, anchor="end", fill=ink.SOFT_INK)
    y = _y(HIGH_FRICTION_G, high)
    yield Line(layout.left, y, right, y, stroke=ink.RED, stroke_width=1, dash=(4, 3))


def _bars(layout: Layout, high: int, keys: list[KeyVerdict]) -> Iterator[Shape]:
    width = max(3, layout.cut.sharp - 4)
    for key in keys:
        x, top, name = layout.middle(key.key), _y(key.friction_g, high), note_label(key.key)
        words = f"{name}: {plain(key.friction_g)} g friction"
        colour = ink.RED if key.friction_high else ink.LINE_STRONG
        yield Rect(x - width / 2, top, width, _y(0, high) - top, fill=colour, title=words)
    for key in keys:
        words = f"{note_label(key.key)}: {plain(key.balance_g)} g balance weight"
        yield circle(layout.middle(key.key), _y(key.balance_g, high), 3, fill=ink.GREEN, title=words)


def _bar_sample(colour: str):
    return lambda x, y: [Rect(x - 4, y - 6, 8, 12, fill=colour)]


def _description(keys: list[KeyVerdict]) -> str:
    high = [note_label(key.key) for key in keys if key.friction_high]
    if not keys:
        return "No key has both weights yet."
    return f"High friction at {len(high)}: {', '.join(high)}." if high else "No key has high friction."
