"""Pieces that cases share: panels, keys from the front, legs, pedals. Centimetres, floor at y = 0."""

from collections.abc import Iterator

from instruments.calc.compass import is_sharp
from instruments.drawings import ink
from instruments.drawings.finish import BRASS, Finish, Variety
from instruments.drawings.keyboard import NATURAL_WIDTH, SHARP_WIDTH, Layout
from instruments.drawings.shapes import Ellipse, Line, Path, Rect, Shape, mix, polygon

NATURAL_CM = 2.35  # common practice, no source
IVORY_TOP = "#f4ecd9"


def panel(
    x: float, y: float, width: float, height: float, finish: Finish, variety: Variety, name: str
) -> Iterator[Shape]:
    """A sunk panel: shade above and left, light below and right."""
    edge = min(1.3, height / 6)
    yield Rect(x, y, width, height, fill=finish.deep)
    yield polygon([(x + width, y), (x + width, y + height), (x, y + height)], fill=finish.light)
    yield Rect(x + edge * 0.6, y + edge * 0.6, width - edge * 1.2, height - edge * 1.2, fill=finish.dark)
    inner = (x + edge * 1.4, y + edge * 1.4, width - edge * 2.8, height - edge * 2.8)
    yield Rect(*inner, fill=finish.panel)
    if finish.is_figured:
        yield from _figure(*inner, finish, variety, name)
    elif not finish.is_covered:
        yield from _plain_grain(*inner, finish)


def _figure(
    x: float, y: float, width: float, height: float, finish: Finish, variety: Variety, name: str
) -> Iterator[Shape]:
    """Two leaves of veneer opened like a book."""
    middle = x + width / 2
    lean = variety.between(f"figure {name}", 0.15, 0.5)
    for step in range(1, 6):
        share = step / 6
        out = width / 2 * share
        top, bottom = y + height * (1 - share) * lean, y + height
        for side in (-1, 1):
            far = middle + side * out
            yield Path(
                (
                    ("M", middle, top),
                    ("C", far, top, far, y + height * 0.6, middle + side * out * 0.55, bottom),
                ),
                stroke=finish.grain,
                stroke_width=0.35,
            )
    yield Line(middle, y, middle, y + height, stroke=finish.grain, stroke_width=0.25)


def _plain_grain(x: float, y: float, width: float, height: float, finish: Finish) -> Iterator[Shape]:
    lines = max(2, round(height / 6))
    for step in range(1, lines):
        level = y + height * step / lines
        bow = 0.8 if step % 2 else -0.8
        yield Path(
            (
                ("M", x, level),
                ("C", x + width * 0.3, level + bow, x + width * 0.7, level - bow, x + width, level),
            ),
            stroke=finish.grain,
            stroke_width=0.25,
        )


def keys_width(first_key: int, key_count: int) -> float:
    naturals = sum(not is_sharp(key) for key in range(first_key, first_key + key_count))
    return naturals * NATURAL_CM


def keys_from_front(first_key: int, key_count: int, x: float, y: float, height: float) -> Iterator[Shape]:
    """The true compass, foreshortened: as many naturals and sharps as the instrument has."""
    layout = Layout(first_key, key_count)
    scale = NATURAL_CM / NATURAL_WIDTH
    start = min(layout.edge(key) for key in layout.own_keys)
    yield Rect(x, y, keys_width(first_key, key_count), height, fill=IVORY_TOP)
    for key in layout.own_keys:
        left = x + (layout.edge(key) - start) * scale
        if not is_sharp(key):
            yield Line(left, y, left, y + height, stroke="#8d8069", stroke_width=0.16)
    yield Line(
        x,
        y + height * 0.62,
        x + keys_width(first_key, key_count),
        y + height * 0.62,
        stroke="#cbbfa6",
        stroke_width=0.2,
    )
    for key in layout.own_keys:
        if is_sharp(key):
            left = x + (layout.edge(key) - start) * scale
            yield Rect(left, y, SHARP_WIDTH * scale, height * 0.46, fill=ink.INK)


def turned_leg(
    x: float, top: float, bottom: float, width: float, finish: Finish, style: str
) -> Iterator[Shape]:
    """A leg centred on x. Styles: turned, tapered, square."""
    half, length = width / 2, bottom - top
    if style == "square":
        yield Rect(x - half * 0.7, top, width * 0.7, length, fill=finish.dark)
        yield Line(x - half * 0.4, top + 3, x - half * 0.4, bottom - 3, stroke=finish.light, stroke_width=0.4)
    elif style == "tapered":
        foot = half * 0.5
        yield polygon(
            [(x - half, top), (x + half, top), (x + foot, bottom), (x - foot, bottom)], fill=finish.dark
        )
        yield Line(x - half * 0.5, top + 3, x - foot * 0.5, bottom - 3, stroke=finish.light, stroke_width=0.4)
    else:
        yield from _turnings(x, top, length, half, finish)


def _turnings(x: float, top: float, length: float, half: float, finish: Finish) -> Iterator[Shape]:
    def at(across: float, down: float) -> tuple[float, float]:
        return x + half * across, top + length * down

    swell = (
        ("M", *at(-0.55, 0)),
        ("C", *at(-1.5, 0.25), *at(-1.1, 0.45), *at(-0.45, 1)),
        ("L", *at(0.45, 1)),
        ("C", *at(1.1, 0.45), *at(1.5, 0.25), *at(0.55, 0)),
        ("Z",),
    )
    yield Path(swell, fill=finish.dark)
    for down, width in ((0.0, 1.0), (0.1, 0.95), (0.86, 0.75), (0.97, 0.85)):
        yield Rect(*at(-width, down), half * width * 2, length * 0.04, radius=0.5, fill=finish.face)
    light = (("M", *at(-0.35, 0.18)), ("C", *at(-0.75, 0.35), *at(-0.5, 0.6), *at(-0.2, 0.82)))
    yield Path(light, stroke=finish.light, stroke_width=0.5)


def castor(x: float, finish: Finish) -> Iterator[Shape]:
    yield Rect(x - 1, -4.2, 2, 2.4, fill=BRASS)
    yield Ellipse(x, -1.6, 1.7, 1.6, fill=mix(BRASS, "#201408", 0.35))


def pedals(x: float, count: int, top: float) -> Iterator[Shape]:
    for number in range(count):
        left = x + (number - (count - 1) / 2) * 8 - 2
        yield Rect(left, top, 4, 2.6, radius=1, fill=BRASS)
        yield Line(
            left + 0.8, top + 0.6, left + 3.2, top + 0.6, stroke=mix(BRASS, "#ffffff", 0.5), stroke_width=0.3
        )
