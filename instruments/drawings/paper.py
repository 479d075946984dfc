"""A drawing for a paper: the same shapes in ReportLab's terms, scaled to the width the page gives it."""

from reportlab.graphics import shapes as rl
from reportlab.lib.colors import HexColor

from instruments.documents import fonts
from instruments.drawings.shapes import Drawing, Ellipse, Line, Path, Rect, Shape, Text

FACES = {
    "sans": fonts.SANS,
    "sans-strong": fonts.SANS_STRONG,
    "serif": fonts.SERIF,
    "serif-italic": fonts.SERIF_ITALIC,
}


def to_reportlab(drawing: Drawing, *, width: float) -> rl.Drawing:
    """`width` in points; the height follows. A flowable, ready for a story."""
    fonts.prepare()
    scale = width / drawing.width
    page = rl.Drawing(width, drawing.height * scale)
    # ReportLab's y runs up from the foot of the drawing.
    foot = drawing.top + drawing.height
    group = rl.Group(transform=(scale, 0, 0, scale, -drawing.left * scale, foot * scale))
    if drawing.background:
        frame = Rect(drawing.left, drawing.top, drawing.width, drawing.height, fill=drawing.background)
        group.add(_element(frame))
    for shape in drawing.shapes:
        group.add(_element(shape))
    page.add(group)
    return page


def _element(shape: Shape) -> rl.Shape:
    match shape:
        case Rect(x=x, y=y, width=width, height=height, radius=radius):
            return rl.Rect(x, -y - height, width, height, rx=radius, ry=radius, **_paint(shape))
        case Line(x1=x1, y1=y1, x2=x2, y2=y2):
            return rl.Line(x1, -y1, x2, -y2, **_stroke(shape))
        case Ellipse(cx=cx, cy=cy, rx=rx, ry=ry):
            return rl.Ellipse(cx, -cy, rx, ry, **_paint(shape))
        case Path(steps=steps):
            return _path(steps, _paint(shape))
        case Text():
            return _words(shape)
    raise TypeError(f"No way to draw {shape!r}.")


def _path(steps: tuple[tuple, ...], paint: dict) -> rl.Path:
    path = rl.Path(**paint)
    draw = {"M": path.moveTo, "L": path.lineTo, "C": path.curveTo, "Z": path.closePath}
    for letter, *numbers in steps:
        draw[letter](*(-number if index % 2 else number for index, number in enumerate(numbers)))
    return path


def _words(shape: Text) -> rl.String:
    # The faces have no sharp or flat sign.
    text = shape.text.replace("♯", "#").replace("♭", "b")
    return rl.String(
        shape.x,
        -shape.y,
        text,
        fontName=FACES[shape.face],
        fontSize=shape.size,
        fillColor=HexColor(shape.fill),
        textAnchor=shape.anchor,
    )


def _paint(shape: Shape) -> dict:
    return {"fillColor": HexColor(shape.fill) if shape.fill else None} | _stroke(shape)


def _stroke(shape: Shape) -> dict:
    if not shape.stroke:
        return {"strokeColor": None, "strokeWidth": 0}
    dash = list(shape.dash) or None
    return {"strokeColor": HexColor(shape.stroke), "strokeWidth": shape.stroke_width, "strokeDashArray": dash}
