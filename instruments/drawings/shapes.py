"""A drawing as plain shapes, so that one drawing serves the screen, the paper and a picture file.

Units are the drawing's own; x runs right and y runs down. Colours are "#rrggbb", always opaque.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field

NONE = ""


@dataclass(frozen=True, kw_only=True)
class Shape:
    fill: str = NONE
    stroke: str = NONE
    stroke_width: float = 1
    dash: tuple[float, ...] = ()
    title: str = ""
    """What the shape stands for; shown by the browser when a pointer rests on it."""
    data: tuple[tuple[str, str], ...] = ()
    """Pairs for data-… attributes on the screen, for example ("key", "40")."""
    classes: str = ""


@dataclass(frozen=True)
class Rect(Shape):
    x: float
    y: float
    width: float
    height: float
    radius: float = 0


@dataclass(frozen=True)
class Line(Shape):
    x1: float
    y1: float
    x2: float
    y2: float


@dataclass(frozen=True)
class Ellipse(Shape):
    cx: float
    cy: float
    rx: float
    ry: float


@dataclass(frozen=True)
class Path(Shape):
    """Steps: ("M", x, y), ("L", x, y), ("C", x1, y1, x2, y2, x, y), ("Z",)."""

    steps: tuple[tuple, ...]


@dataclass(frozen=True)
class Text(Shape):
    x: float
    y: float
    """The baseline."""
    text: str
    size: float = 12
    anchor: str = "start"
    """start, middle or end."""
    face: str = "sans"
    """sans, sans-strong, serif or serif-italic."""


@dataclass(frozen=True)
class Group(Shape):
    """Shapes that are one thing; with `href` (a place on the page or an address here) they are a link."""

    shapes: tuple[Shape, ...]
    href: str = ""


@dataclass
class Drawing:
    width: float
    height: float
    name: str
    """What it is, in a few words: read out in place of the picture."""
    description: str = ""
    """What it shows, in a sentence or two."""
    left: float = 0
    top: float = 0
    background: str = NONE
    kind: str = "plain"
    shapes: list[Shape] = field(default_factory=list)

    def add(self, *shapes: Shape) -> None:
        self.shapes.extend(shapes)

    def extend(self, shapes: Iterable[Shape]) -> None:
        self.shapes.extend(shapes)

    @property
    def ungrouped(self) -> list[Shape]:
        """Every shape by itself, for where nothing can be followed."""
        return list(_ungrouped(self.shapes))

    @property
    def has_links(self) -> bool:
        return any(isinstance(shape, Group) and shape.href for shape in self.shapes)


def _ungrouped(shapes: Iterable[Shape]) -> Iterator[Shape]:
    for shape in shapes:
        if isinstance(shape, Group):
            yield from _ungrouped(shape.shapes)
        else:
            yield shape


def circle(cx: float, cy: float, radius: float, **look) -> Ellipse:
    return Ellipse(cx, cy, radius, radius, **look)


def polygon(points: Iterable[tuple[float, float]], **look) -> Path:
    return Path((*_steps(points), ("Z",)), **look)


def polyline(points: Iterable[tuple[float, float]], **look) -> Path:
    return Path(tuple(_steps(points)), **look)


def _steps(points: Iterable[tuple[float, float]]) -> Iterator[tuple]:
    for index, (x, y) in enumerate(points):
        yield ("L" if index else "M", x, y)


def hatched(rect: Rect, *, gap: float, stroke: str, stroke_width: float = 0.75) -> list[Line]:
    """Lines at 45 degrees that fill the rectangle, clipped to it by arithmetic: no pattern and so no id."""
    lines = []
    right, bottom = rect.x + rect.width, rect.y + rect.height
    start = gap
    while start < rect.width + rect.height:
        # The line runs up and to the right from the left or bottom edge.
        low = (rect.x, rect.y + start) if start <= rect.height else (rect.x + start - rect.height, bottom)
        high = (rect.x + start, rect.y) if start <= rect.width else (right, rect.y + start - rect.width)
        lines.append(Line(*low, *high, stroke=stroke, stroke_width=stroke_width))
        start += gap
    return lines


def mix(one: str, other: str, share: float) -> str:
    """`share` of `other` in `one`, each "#rrggbb"; 0 gives `one`, 1 gives `other`."""
    pairs = zip(_channels(one), _channels(other), strict=True)
    return "#" + "".join(f"{round(a + (b - a) * share):02x}" for a, b in pairs)


def _channels(colour: str) -> tuple[int, ...]:
    return tuple(int(colour[start : start + 2], 16) for start in (1, 3, 5))
