"""A signature drawn on a screen, as lines between points: no picture, so nothing has to be decoded."""

import json
from dataclasses import dataclass

WIDTH, HEIGHT = 1000, 300  # the field it is drawn in, in its own units
MOST_POINTS = 6000
LEAST_POINTS = 8
LEAST_EXTENT = 60  # of the drawing, so that a slip of the finger is none

NOT_DRAWN = "Nothing has been drawn. Sign in the field, type the name, or sign on paper."
TOO_SHORT = "That is a dot or a short stroke. Sign in the field as you would on paper."
NOT_READABLE = "The drawing did not arrive whole. Clear the field and sign again."

Stroke = tuple[tuple[int, int], ...]


@dataclass(frozen=True)
class Drawing:
    """Strokes of points from the upper left corner, 0 to 1000 across and 0 to 300 down."""

    strokes: tuple[Stroke, ...]

    @property
    def plain(self) -> list[list[list[int]]]:
        return [[list(point) for point in stroke] for stroke in self.strokes]


def read_drawing(text: str) -> Drawing:
    """From the JSON a page sends: a list of strokes, each a list of [x, y].

    ValueError, with a sentence for the person who signed, for anything else, too little, or too much.
    """
    if not text.strip():
        raise ValueError(NOT_DRAWN)
    try:
        strokes = tuple(tuple(_point(point) for point in stroke) for stroke in json.loads(text))
    except (ValueError, TypeError, RecursionError) as reason:
        raise ValueError(NOT_READABLE) from reason
    return _looked_at(Drawing(strokes))


def _point(point) -> tuple[int, int]:
    if not isinstance(point, list) or len(point) != 2 or not all(type(each) is int for each in point):
        raise ValueError("a point is two whole numbers")
    x, y = point
    if not (0 <= x <= WIDTH and 0 <= y <= HEIGHT):
        raise ValueError("a point lies outside the field")
    return x, y


def _looked_at(drawing: Drawing) -> Drawing:
    points = [point for stroke in drawing.strokes for point in stroke]
    if not points:
        raise ValueError(NOT_DRAWN)
    if len(points) > MOST_POINTS:
        raise ValueError(NOT_READABLE)
    extent = max(max(each) - min(each) for each in zip(*points, strict=True))
    if len(points) < LEAST_POINTS or extent < LEAST_EXTENT:
        raise ValueError(TOO_SHORT)
    return drawing
