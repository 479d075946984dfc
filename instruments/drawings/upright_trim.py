"""What an upright wears: candle arms, trusses. Centimetres; the floor is y = 0 and up is minus."""

from collections.abc import Iterator
from typing import Protocol

from instruments.drawings.finish import BRASS, Finish
from instruments.drawings.shapes import Ellipse, Path, Rect, Shape, mix

KEY_TOP = -73.0  # height of the key tops above the floor; common practice, no source
KEY_BED = -61.0
PLINTH = -11.0


class Case(Protocol):
    width: float
    finish: Finish

    @property
    def top(self) -> float: ...

    @property
    def fall_top(self) -> float: ...


def bracket(case: Case, side: int) -> Iterator[Shape]:
    """A truss carved from one board, instead of a leg."""
    x = side * (case.width / 2)
    steps = (
        ("M", x, KEY_BED),
        ("L", x - side * 9.5, KEY_BED),
        ("C", x - side * 9, KEY_BED + 16, x - side * 1, KEY_BED + 14, x - side * 4, PLINTH + 3),
        ("L", x, PLINTH + 3),
        ("Z",),
    )
    yield Path(steps, fill=case.finish.face, stroke=case.finish.deep, stroke_width=0.3)


def sconces(case: Case) -> Iterator[Shape]:
    """A pair of candle arms on the top door."""
    y = (case.top + case.fall_top) / 2 + 3
    bright = mix(BRASS, "#ffffff", 0.25)
    for side in (-1, 1):
        x = side * case.width * 0.335
        yield Ellipse(x, y, 1.5, 3.4, fill=BRASS)
        arm = (("M", x, y), ("C", x + side * 4, y + 5, x + side * 8.5, y + 4, x + side * 8.5, y - 1.5))
        yield Path(arm, stroke=bright, stroke_width=0.8)
        yield Rect(x + side * 8.5 - 2.2, y - 2.6, 4.4, 1.2, radius=0.5, fill=bright)
        yield Rect(x + side * 8.5 - 1.1, y - 10, 2.2, 7.4, fill="#efe6d0")
