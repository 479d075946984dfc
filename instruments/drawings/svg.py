"""A drawing as SVG text: presentation attributes only (no style, no ids), every word escaped."""

import re
from html import escape

from instruments.drawings.shapes import Drawing, Ellipse, Group, Line, Path, Rect, Shape, Text

FACES = {
    "sans": {"font-family": "'Source Sans 3', sans-serif"},  # unquoted, the 3 would make it no name
    "sans-strong": {"font-family": "'Source Sans 3', sans-serif", "font-weight": "600"},
    "serif": {"font-family": "'EB Garamond', serif"},
    "serif-italic": {"font-family": "'EB Garamond', serif", "font-style": "italic"},
}


def to_svg(drawing: Drawing) -> str:
    """The whole element. It is named by its title attribute's words and described by its <desc>."""
    frame = (drawing.left, drawing.top, drawing.width, drawing.height)
    root = _attributes(
        {
            "xmlns": "http://www.w3.org/2000/svg",
            "class": f"drawing drawing-{drawing.kind}",
            "viewBox": " ".join(_number(value) for value in frame),
            "width": _number(drawing.width),
            "height": _number(drawing.height),
            "role": "group" if drawing.has_links else "img",  # what is in an img cannot be reached
            "aria-label": drawing.name,
        }
    )
    parts = [f"<svg{root}>"]
    if drawing.description:
        parts.append(f"<desc>{escape(drawing.description)}</desc>")
    if drawing.background:
        parts.append(_element(Rect(*frame, fill=drawing.background)))
    parts += [_element(shape) for shape in drawing.shapes]
    return "".join([*parts, "</svg>"])


def _element(shape: Shape) -> str:
    if isinstance(shape, Group):
        return _group(shape)
    tag, own = _geometry(shape)
    attributes = _attributes(own | _paint(shape) | {f"data-{name}": value for name, value in shape.data})
    title = f"<title>{escape(shape.title)}</title>" if shape.title else ""
    words = escape(shape.text) if isinstance(shape, Text) else ""
    return f"<{tag}{attributes}>{title}{words}</{tag}>" if title or words else f"<{tag}{attributes}/>"


def _group(group: Group) -> str:
    if group.href and not re.match(r"#|/(?!/)", group.href):
        raise ValueError(f"A drawing links within these pages, not to “{group.href:.40}”.")
    tag = "a" if group.href else "g"
    link = {"href": group.href, "aria-label": group.title} if group.href else {}
    named = {"class": group.classes} if group.classes else {}
    attributes = _attributes(link | named | {f"data-{name}": value for name, value in group.data})
    title = f"<title>{escape(group.title)}</title>" if group.title else ""
    return f"<{tag}{attributes}>{title}{''.join(map(_element, group.shapes))}</{tag}>"


def _geometry(shape: Shape) -> tuple[str, dict]:
    match shape:
        case Rect(x=x, y=y, width=width, height=height, radius=radius):
            return "rect", _plain(x=x, y=y, width=width, height=height) | (
                _plain(rx=radius) if radius else {}
            )
        case Line(x1=x1, y1=y1, x2=x2, y2=y2):
            return "line", _plain(x1=x1, y1=y1, x2=x2, y2=y2)
        case Ellipse(cx=cx, cy=cy, rx=rx, ry=ry) if rx == ry:
            return "circle", _plain(cx=cx, cy=cy, r=rx)
        case Ellipse(cx=cx, cy=cy, rx=rx, ry=ry):
            return "ellipse", _plain(cx=cx, cy=cy, rx=rx, ry=ry)
        case Path(steps=steps):
            return "path", {"d": "".join(step[0] + " ".join(map(_number, step[1:])) for step in steps)}
        case Text(x=x, y=y, size=size, anchor=anchor, face=face):
            anchored = {} if anchor == "start" else {"text-anchor": anchor}
            return "text", _plain(x=x, y=y) | {"font-size": _number(size)} | anchored | FACES[face]
    raise TypeError(f"No way to draw {shape!r}.")


def _paint(shape: Shape) -> dict:
    paint = {"class": shape.classes} if shape.classes else {}
    if shape.fill or not isinstance(shape, Line):
        paint["fill"] = shape.fill or "none"
    if shape.stroke:
        paint["stroke"] = shape.stroke
        if shape.stroke_width != 1:
            paint["stroke-width"] = _number(shape.stroke_width)
        if shape.dash:
            paint["stroke-dasharray"] = " ".join(_number(length) for length in shape.dash)
    return paint


def _plain(**values: float) -> dict:
    return {name: _number(value) for name, value in values.items()}


def _number(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".") or "0"


def _attributes(values: dict) -> str:
    return "".join(f' {name}="{escape(value, quote=True)}"' for name, value in values.items())
