"""A drawing put onto a paper's canvas: the same shapes as PDF operators, scaled to the width it is given.

Written straight away rather than through ReportLab's own shapes, which take ten times as long.
"""

from collections.abc import Iterator
from functools import lru_cache

from instruments.documents.fonts import FACES
from instruments.documents.text import printable
from instruments.drawings.shapes import Drawing, Ellipse, Line, Path, Rect, Shape, Text

ROUND = 0.5523  # how far a Bézier handle reaches to make a quarter circle
CURVE_OF = {"M": "m", "L": "l", "C": "c", "Z": "h"}


def height_at(drawing: Drawing, *, width: float) -> float:
    """In points, for a width in points."""
    return drawing.height * width / drawing.width


def draw_on(canvas, drawing: Drawing, *, width: float) -> None:
    """With its lower left corner at the canvas's origin; `width` in points."""
    scale = width / drawing.width
    frame = Rect(drawing.left, drawing.top, drawing.width, drawing.height, fill=drawing.background)
    shapes = [*([frame] if drawing.background else []), *drawing.ungrouped]
    # A PDF's y runs up from the foot; turned over here, the shapes keep their own numbers.
    foot = drawing.top + drawing.height
    matrix = " ".join(_number(value) for value in (scale, 0, 0, -scale, -drawing.left * scale, foot * scale))
    linework = _linework(tuple(shape for shape in shapes if not isinstance(shape, Text)))
    canvas._code.append(f"q {matrix} cm {linework}Q")
    for shape in shapes:
        if isinstance(shape, Text):
            _write(canvas, shape, (shape.x - drawing.left) * scale, (foot - shape.y) * scale, scale)


def _write(canvas, words: Text, x: float, y: float, scale: float) -> None:
    canvas.setFillColor(words.fill or "#000000")
    face = FACES[words.face]
    canvas.setFont(face, words.size * scale)
    put = {"start": canvas.drawString, "middle": canvas.drawCentredString, "end": canvas.drawRightString}
    put[words.anchor](x, y, printable(words.text, face))


@lru_cache(maxsize=64)
def _linework(shapes: tuple[Shape, ...]) -> str:
    """Kept, for most instruments of a shop have one of two keyboards."""
    parts, paint = [], None
    for shape in shapes:
        if (needed := _paint(shape)) != paint:
            parts.append(needed)
            paint = needed
        parts += _outline(shape)
        parts.append(_finish(shape))
    return " ".join([*parts, ""])


def _outline(shape: Shape) -> Iterator[str]:
    match shape:
        case Rect(x=x, y=y, width=width, height=height, radius=radius) if not radius:
            yield _step("re", x, y, width, height)
        case Rect(x=x, y=y, width=width, height=height, radius=radius):
            yield from _rounded(x, y, x + width, y + height, min(radius, width / 2, height / 2))
        case Line(x1=x1, y1=y1, x2=x2, y2=y2):
            yield _step("m", x1, y1) + " " + _step("l", x2, y2)
        case Ellipse(cx=cx, cy=cy, rx=rx, ry=ry):
            yield from _oval(cx - rx, cy - ry, cx + rx, cy + ry, rx, ry)
        case Path(steps=steps):
            yield from (_step(CURVE_OF[letter], *numbers) for letter, *numbers in steps)
        case _:
            raise TypeError(f"No way to draw {shape!r}.")


def _rounded(left: float, top: float, right: float, bottom: float, radius: float) -> Iterator[str]:
    return _oval(left, top, right, bottom, radius, radius)


def _oval(left: float, top: float, right: float, bottom: float, rx: float, ry: float) -> Iterator[str]:
    """A box with its corners rounded; where the radii meet, an ellipse."""
    short_x, short_y = rx * (1 - ROUND), ry * (1 - ROUND)
    yield _step("m", left + rx, top)
    yield _step("l", right - rx, top)
    yield _step("c", right - short_x, top, right, top + short_y, right, top + ry)
    yield _step("l", right, bottom - ry)
    yield _step("c", right, bottom - short_y, right - short_x, bottom, right - rx, bottom)
    yield _step("l", left + rx, bottom)
    yield _step("c", left + short_x, bottom, left, bottom - short_y, left, bottom - ry)
    yield _step("l", left, top + ry)
    yield _step("c", left, top + short_y, left + short_x, top, left + rx, top)
    yield "h"


def _paint(shape: Shape) -> str:
    parts = []
    if shape.fill:
        parts.append(_colour(shape.fill) + " rg")
    if shape.stroke:
        dash = " ".join(_number(length) for length in shape.dash)
        parts.append(f"{_colour(shape.stroke)} RG {_number(shape.stroke_width)} w [{dash}] 0 d")
    return " ".join(parts)


def _finish(shape: Shape) -> str:
    """Fill and stroke, either, or neither: the operator that ends a path."""
    filled = shape.fill and not isinstance(shape, Line)
    return {(True, True): "B", (True, False): "f", (False, True): "S", (False, False): "n"}[
        bool(filled), bool(shape.stroke)
    ]


def _colour(code: str) -> str:
    return " ".join(_number(int(code[start : start + 2], 16) / 255) for start in (1, 3, 5))


def _step(operator: str, *numbers: float) -> str:
    return " ".join([*map(_number, numbers), operator])


def _number(value: float) -> str:
    return f"{value:.3f}".rstrip("0").rstrip(".")
