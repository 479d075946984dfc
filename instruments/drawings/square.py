"""A square piano seen from the front, in centimetres: floor at y = 0, the middle at x = 0."""

from collections.abc import Iterator
from dataclasses import dataclass

from instruments.drawings.finish import Finish, Variety
from instruments.drawings.parts import castor, keys_from_front, keys_width, panel, pedals, turned_leg
from instruments.drawings.shapes import Line, Rect, Shape, Text

CASE_DEPTH = 31.0
KEY_WELL = 16.0


@dataclass(frozen=True)
class Square:
    height: float
    width: float
    first_key: int
    key_count: int
    finish: Finish
    variety: Variety
    maker: str = ""
    pedal_count: int = 1

    @property
    def left(self) -> float:
        return -self.width / 2

    @property
    def top(self) -> float:
        return -self.height

    @property
    def bottom(self) -> float:
        return self.top + CASE_DEPTH

    def shapes(self) -> Iterator[Shape]:
        yield from self._lyre()
        yield from self._legs()
        yield from self._case()
        yield from self._keys()
        yield Rect(self.left - 1.4, self.top, self.width + 2.8, 3.4, radius=0.9, fill=self.finish.light)
        yield Rect(self.left - 1.4, self.top + 1.5, self.width + 2.8, 1.9, radius=0.6, fill=self.finish.face)

    def _legs(self) -> Iterator[Shape]:
        style = self.variety.pick("legs", ("turned", "turned", "tapered"))
        weight = self.variety.between("leg weight", 8.0, 12.5)
        for x in (self.left + 13, -self.left - 13):
            yield from castor(x, self.finish)
            yield from turned_leg(x, self.bottom - 1, -4, weight, self.finish, style)
        for x in (self.left + 27, -self.left - 27):
            yield from turned_leg(x, self.bottom - 1, -9, weight * 0.75, self.finish, style)

    def _case(self) -> Iterator[Shape]:
        finish, lower = self.finish, self.top + 3.4 + KEY_WELL
        yield Rect(self.left, self.top + 3, self.width, CASE_DEPTH - 3, radius=0.8, fill=finish.face)
        yield from panel(
            self.left + 3, self.top + 5, self.width - 6, KEY_WELL - 1.6, finish, self.variety, "front"
        )
        yield Line(self.left, lower, -self.left, lower, stroke=finish.deep, stroke_width=0.6)
        yield Line(self.left, lower + 0.7, -self.left, lower + 0.7, stroke=finish.light, stroke_width=0.4)
        moulding = self.variety.pick("moulding", (1.2, 2.0, 2.8))
        yield Rect(
            self.left - 0.8, self.bottom - moulding, self.width + 1.6, moulding, radius=0.5, fill=finish.light
        )

    def _keys(self) -> Iterator[Shape]:
        """The keyboard of a square stands left of the middle."""
        keys = min(keys_width(self.first_key, self.key_count), self.width - 24)
        x, y = self.left + self.variety.between("key place", 9.0, 14.0), self.top + 4.4
        yield Rect(x - 3.5, y, keys + 7, KEY_WELL + 1.5, fill=self.finish.deep)
        yield Rect(x - 2.5, y + 0.6, keys + 5, KEY_WELL - 6.6, fill=self.finish.dark)
        if self.maker:
            size = min(4.6, keys / max(len(self.maker), 12) * 1.3)
            yield Text(
                x + keys / 2,
                y + 6.6,
                self.maker,
                size=size,
                anchor="middle",
                face="serif",
                fill=self.finish.lettering,
            )
        yield from keys_from_front(self.first_key, self.key_count, x, y + KEY_WELL - 5.6, 5.4)
        yield Rect(x - 3.5, y + KEY_WELL, keys + 7, 2.6, radius=0.5, fill=self.finish.light)

    def _lyre(self) -> Iterator[Shape]:
        for x in (-6.0, 6.0):
            yield Rect(x - 1.1, self.bottom - 2, 2.2, -self.bottom - 10, fill=self.finish.dark)
        yield Rect(-9.5, -12.5, 19, 5.5, radius=1.2, fill=self.finish.face)
        yield from pedals(0, min(self.pedal_count, 2), -8.6)
