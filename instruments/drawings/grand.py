"""A grand seen from the side, lid up. Centimetres: floor at y = 0, keyboard to the left."""

from collections.abc import Iterator
from dataclasses import dataclass

from instruments.drawings.finish import BRASS, Finish, Variety
from instruments.drawings.parts import castor, turned_leg
from instruments.drawings.shapes import Line, Path, Rect, Shape, mix, polygon

RIM_DEPTH = 33.0
KEY_LEVEL = -73.0
TAIL_SHARE = 0.3


@dataclass(frozen=True)
class Grand:
    length: float
    height: float
    width: float
    first_key: int
    key_count: int
    finish: Finish
    variety: Variety
    maker: str = ""
    pedal_count: int = 2

    @property
    def front(self) -> float:
        return -self.length / 2

    @property
    def tail(self) -> float:
        return self.length / 2

    @property
    def top(self) -> float:
        return -self.height

    @property
    def under(self) -> float:
        return self.top + RIM_DEPTH

    @property
    def lid_rise(self) -> float:
        """How far the open lid stands above the rim at the keyboard end."""
        return self.width * 0.55

    def shapes(self) -> Iterator[Shape]:
        yield from self._far_leg()
        yield from self._lid()
        yield from self._desk()
        yield from self._lyre()
        yield from self._near_legs()
        yield from self._rim()

    def _lid(self) -> Iterator[Shape]:
        finish, top, tail, length = self.finish, self.top, self.tail, self.length
        flap, fold = self.front + length * 0.21, length * 0.035
        high, low = top - self.lid_rise, top - self.lid_rise * TAIL_SHARE
        under_lid = (
            ("M", flap, top),
            ("L", flap, high),
            ("L", flap + length * 0.14, high),
            ("C", flap + length * 0.42, high, flap + length * 0.38, low - 2, tail - length * 0.1, low),
            ("C", tail + 1, low + 1, tail + 2, top - 4, tail, top),
            ("Z",),
        )
        yield Path(under_lid, fill=mix(finish.face, "#000000", 0.1), stroke=finish.light, stroke_width=1.6)
        folded = [(flap, top), (flap, high), (flap - fold, high + 3), (flap - fold, top)]
        yield polygon(folded, fill=finish.dark)
        foot = flap + length * 0.1
        yield Line(foot, top, foot + length * 0.05, high + 3, stroke=finish.light, stroke_width=1.3)

    def _desk(self) -> Iterator[Shape]:
        x, top = self.front + self.length * 0.14, self.top
        yield polygon(
            [(x, top), (x + 2, top), (x + 10, top - 21), (x + 8.4, top - 21)], fill=self.finish.dark
        )

    def _rim(self) -> Iterator[Shape]:
        finish, arm, top, under = self.finish, self.front + self.length * 0.13, self.top, self.under
        front, tail = self.front, self.tail
        outline = (
            ("M", front, KEY_LEVEL - 3),
            ("C", front + 4, KEY_LEVEL - 5, arm - 6, KEY_LEVEL - 6, arm - 4, top + 8),
            ("C", arm - 3, top + 2, arm, top, arm + 4, top),
            ("L", tail - 5, top),
            ("C", tail - 1, top, tail, top + 2, tail, top + 6),
            ("L", tail, under - 5),
            ("C", tail, under - 2, tail - 1, under, tail - 5, under),
            ("L", front, under),
            ("Z",),
        )
        yield Path(outline, fill=finish.face)
        yield Line(arm + 4, top + 0.8, tail - 5, top + 0.8, stroke=finish.light, stroke_width=1.2)
        yield Line(front, under - 0.5, tail - 5, under - 0.5, stroke=finish.deep, stroke_width=1)
        yield Rect(front - 1, KEY_LEVEL - 1, 5, under - KEY_LEVEL + 1, radius=0.6, fill=finish.dark)
        yield from self._surface(arm)

    def _surface(self, arm: float) -> Iterator[Shape]:
        """Grain along a wooden rim, and the light that falls on every one."""
        for share in () if self.finish.is_covered else (0.36, 0.62):
            y = self.top + RIM_DEPTH * share
            bow = ("C", arm + 40, y + 2, self.tail - 50, y - 2, self.tail - 6, y + 1)
            yield Path((("M", arm + 10, y), bow), stroke=self.finish.grain, stroke_width=0.35)
        over, below = self.top + 3, self.under - 3
        sheen = [(arm + 18, over), (arm + 30, over), (arm + 22, below), (arm + 10, below)]
        yield polygon(sheen, fill=mix(self.finish.face, "#ffffff", 0.07))

    def _leg_style(self) -> str:
        return self.variety.pick("legs", ("turned", "tapered", "square"))

    def _near_legs(self) -> Iterator[Shape]:
        for x in (self.front + self.length * 0.12, self.tail - self.length * 0.16):
            yield from castor(x, self.finish)
            yield Rect(x - 7, self.under - 1, 14, 5, radius=0.8, fill=self.finish.face)
            yield from turned_leg(x, self.under + 3, -4, 11, self.finish, self._leg_style())

    def _far_leg(self) -> Iterator[Shape]:
        yield from turned_leg(
            self.front + self.length * 0.12 + 7, self.under, -9, 8, self.finish, self._leg_style()
        )

    def _lyre(self) -> Iterator[Shape]:
        x = self.front + self.length * 0.27
        yield polygon(
            [(x - 1.6, self.under), (x + 2.6, self.under), (x + 2.2, -13), (x - 1.4, -13)],
            fill=self.finish.dark,
        )
        yield Line(x + 2, -14, x + 19, self.under, stroke=BRASS, stroke_width=0.8)
        yield Rect(x - 6, -14, 11, 5, radius=1, fill=self.finish.face)
        yield Rect(x - 13, -11.4, 9, 1.8, radius=0.8, fill=BRASS)
