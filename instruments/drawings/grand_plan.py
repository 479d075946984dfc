"""A grand from above with its lid off. Centimetres; keyboard to the left, bass away from us."""

from collections.abc import Iterator

from instruments.calc.compass import is_sharp
from instruments.drawings import ink
from instruments.drawings.finish import IRON, SPRUCE
from instruments.drawings.geometry import Point, crossing, flattened, inset
from instruments.drawings.grand import Grand
from instruments.drawings.keyboard import SHARP_WIDTH, Layout
from instruments.drawings.parts import IVORY_TOP, keys_width
from instruments.drawings.shapes import Ellipse, Line, Rect, Shape, mix, polygon

STEEL = "#d8d4cb"
COPPER = "#b0744a"
FLOOR_SHADE = "#d2c4a8"
RIM, FRAME_EDGE = 5.2, 12.0
STRING_LINES, BASS_LINES = 60, 15
PLANK = 34.0
"""From the front edge to the wrest plank."""


def plan_extent(grand: Grand) -> tuple[float, float, float, float]:
    half = grand.length / 2 + 18
    return -half, half, -grand.width / 2 - 14, grand.width / 2 + 20


def plan_shapes(grand: Grand) -> Iterator[Shape]:
    edge = outline(grand)
    yield polygon([(x + 4, y + 6) for x, y in edge], fill=FLOOR_SHADE)
    yield polygon(edge, fill=grand.finish.face)
    yield polygon(inset(edge, 1.2), stroke=grand.finish.light, stroke_width=0.6)
    yield polygon(inset(edge, 4.5), fill=grand.finish.deep)
    yield polygon(inset(edge, RIM), fill=IRON)
    yield polygon(inset(edge, FRAME_EDGE), fill=SPRUCE)
    yield from _strings(grand, inset(edge, FRAME_EDGE - 2))
    yield from _action_end(grand)
    yield from _keys(grand)


def outline(grand: Grand) -> list[Point]:
    """The straight side lies away from us, the bent side towards us."""
    far, near = -grand.width / 2, grand.width / 2
    front, tail, length = grand.front, grand.tail, grand.length
    waist = far + grand.width * 0.36
    steps = (
        ("M", front, far),
        ("L", tail - 14, far),
        ("C", tail, far, tail, far + 10, tail, far + 22),
        ("C", tail, waist + 2, tail - length * 0.08, waist, tail - length * 0.17, waist + 6),
        ("C", tail - length * 0.36, waist + 18, front + length * 0.56, near, front + length * 0.36, near),
        ("L", front, near),
    )
    ((points, _),) = flattened(steps)
    return [point for index, point in enumerate(points) if point != points[index - 1]]


def _strings(grand: Grand, board: list[Point]) -> Iterator[Shape]:
    pins = grand.front + PLANK + 18
    first, across = -grand.width / 2 + 13, grand.width - 27
    for number in range(STRING_LINES):
        y = first + across * number / (STRING_LINES - 1)
        is_bass = number < BASS_LINES
        end = y + 14 if is_bass else max(first, y - 2)
        colour, thickness = (COPPER, 0.8) if is_bass else (STEEL, 0.4)
        yield Line(pins, y, crossing(board, end), end, stroke=colour, stroke_width=thickness)
    for share in (0.0, 0.28, 0.52, 0.76, 1.0):
        y = first + across * share
        end = crossing(board, y) + 1
        yield Line(pins - 6, y, end, y, stroke=IRON, stroke_width=3.4)
        yield Line(pins - 6, y - 0.9, end, y - 0.9, stroke=mix(IRON, "#ffffff", 0.3), stroke_width=0.5)


def _action_end(grand: Grand) -> Iterator[Shape]:
    far, depth = -grand.width / 2 + 4, grand.width - 8
    plank = grand.front + PLANK
    yield Rect(plank, far, 20, depth, fill=IRON)
    for row, x in enumerate((plank + 6, plank + 9.5, plank + 13)):
        for number in range(44):
            y = far + 4 + (depth - 8) * (number + row / 3) / 44
            yield Ellipse(x, y, 0.55, 0.55, fill="#4d4a46")
    yield Rect(grand.front + 20, far, PLANK - 20, depth, fill=grand.finish.dark)
    yield Rect(grand.front, far, 20, depth, fill=grand.finish.deep)


def _keys(grand: Grand) -> Iterator[Shape]:
    layout = Layout(grand.first_key, grand.key_count)
    across = min(keys_width(grand.first_key, grand.key_count), grand.width - 16)
    edges = [layout.edge(key) for key in layout.own_keys]
    scale = across / (max(edges) - min(edges) + 20)
    start, x = -across / 2, grand.front + 3
    yield Rect(x, start, 15, across, fill=IVORY_TOP)
    for key in sorted(layout.own_keys, key=is_sharp):
        y = start + (layout.edge(key) - min(edges)) * scale
        if is_sharp(key):
            yield Rect(x + 5.5, y, 9.5, SHARP_WIDTH * scale, fill=ink.INK)
        else:
            yield Line(x, y, x + 15, y, stroke="#8d8069", stroke_width=0.16)
