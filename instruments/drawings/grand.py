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
        yield from self._lyre()
        yield from self._near_legs()
        yield from self._rim()

    def _lid(self) -> Iterator[Shape]:
        flap, high, low = (
            self.front + self.length * 0.21,
            self.top - self.lid_rise,
            self.top - self.lid_rise * TAIL_SHARE,
        )
        bend = self.length
        under_lid = (
            ("M", flap, self.top),
            ("L", flap, high),
            ("L", flap + bend * 0.14, high),
            ("C", flap + bend * 0.42, high, flap + bend * 0.38, low - 2, self.tail - bend * 0.1, low),
            ("C", self.tail + 1, low + 1, self.tail + 2, self.top - 4, self.tail, self.top),
            ("Z",),
        )
        yield Path(
            under_lid, fill=mix(self.finish.face, "#000000", 0.1), stroke=self.finish.light, stroke_width=1.6
        )
        yield polygon(
            [
                (flap, self.top),
                (flap, high),
                (flap - self.length * 0.035, high + 3),
                (flap - self.length * 0.035, self.top),
            ],
            fill=self.finish.dark,
        )
        foot = flap + bend * 0.1
        yield Line(foot, self.top, foot + bend * 0.05, high + 3, stroke=self.finish.light, stroke_width=1.3)
        desk = self.front + self.length * 0.14
        yield polygon(
            [(desk, self.top), (desk + 2, self.top), (desk + 10, self.top - 21), (desk + 8.4, self.top - 21)],
            fill=self.finish.dark,
        )

    def _rim(self) -> Iterator[Shape]:
        arm = self.front + self.length * 0.13
        outline = (
            ("M", self.front, KEY_LEVEL - 3),
            ("C", self.front + 4, KEY_LEVEL - 5, arm - 6, KEY_LEVEL - 6, arm - 4, self.top + 8),
            ("C", arm - 3, self.top + 2, arm, self.top, arm + 4, self.top),
            ("L", self.tail - 5, self.top),
            ("C", self.tail - 1, self.top, self.tail, self.top + 2, self.tail, self.top + 6),
            ("L", self.tail, self.under - 5),
            ("C", self.tail, self.under - 2, self.tail - 1, self.under, self.tail - 5, self.under),
            ("L", self.front, self.under),
            ("Z",),
        )
        yield Path(outline, fill=self.finish.face)
        yield Line(
            arm + 4, self.top + 0.8, self.tail - 5, self.top + 0.8, stroke=self.finish.light, stroke_width=1.2
        )
        yield Line(
            self.front,
            self.under - 0.5,
            self.tail - 5,
            self.under - 0.5,
            stroke=self.finish.deep,
            stroke_width=1,
        )
        yield Rect(
            self.front - 1, KEY_LEVEL - 1, 5, self.under - KEY_LEVEL + 1, radius=0.6, fill=self.finish.dark
        )
        for share in (0.36, 0.62):
            level = self.top + RIM_DEPTH * share
            grain = (
                ("M", arm + 10, level),
                ("C", arm + 40, level + 2, self.tail - 50, level - 2, self.tail - 6, level + 1),
            )
            if not self.finish.is_covered:
                yield Path(grain, stroke=self.finish.grain, stroke_width=0.35)
        sheen = [
            (arm + 18, self.top + 3),
            (arm + 30, self.top + 3),
            (arm + 22, self.under - 3),
            (arm + 10, self.under - 3),
        ]
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
