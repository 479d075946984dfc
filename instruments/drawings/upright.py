"""An upright seen from the front, in centimetres: floor at y = 0, the middle at x = 0."""

from collections.abc import Iterator
from dataclasses import dataclass

from instruments.drawings.finish import Finish, Variety
from instruments.drawings.parts import castor, keys_from_front, keys_width, panel, pedals, turned_leg
from instruments.drawings.shapes import Line, Rect, Shape, Text, mix
from instruments.drawings.upright_trim import KEY_BED, KEY_TOP, PLINTH, bracket, sconces

SIDE = 3.4


@dataclass(frozen=True)
class Upright:
    height: float
    width: float
    first_key: int
    key_count: int
    finish: Finish
    variety: Variety
    maker: str = ""
    pedal_count: int = 2

    @property
    def left(self) -> float:
        return -self.width / 2

    @property
    def top(self) -> float:
        return -self.height

    @property
    def fall_top(self) -> float:
        """The open fall stands behind the keys; a low case leaves little room for it."""
        return KEY_TOP - 5.5 - min(13.0, (self.height - 85) * 0.3)

    def shapes(self) -> Iterator[Shape]:
        yield from self._carcass()
        yield from self._top_door()
        yield from self._bottom_door()
        yield from self._key_bed()
        yield from self._legs()
        yield from self._top()
        if self.height > 112 and self.variety.pick("sconces", (True, False, True)):
            yield from sconces(self)

    def _carcass(self) -> Iterator[Shape]:
        finish = self.finish
        yield Rect(self.left, self.top + 2, self.width, self.height - 5, fill=finish.dark)
        yield Rect(self.left + SIDE, self.top + 2, self.width - 2 * SIDE, self.height - 8, fill=finish.deep)
        for x in (self.left, -self.left - SIDE):
            yield Rect(x, self.top + 2, SIDE, self.height - 5, fill=finish.face)
            yield Line(x + 0.5, self.top + 4, x + 0.5, -4, stroke=finish.light, stroke_width=0.3)

    def _top(self) -> Iterator[Shape]:
        finish, overhang = self.finish, self.variety.pick("overhang", (2.2, 3.0, 3.8))
        if self.variety.pick("cornice", (True, False)):
            yield Rect(self.left - overhang / 2, self.top + 3.2, self.width + overhang, 2.2, fill=finish.face)
        yield Rect(
            self.left - overhang, self.top, self.width + 2 * overhang, 3.4, radius=0.9, fill=finish.light
        )
        yield Rect(
            self.left - overhang, self.top + 1.5, self.width + 2 * overhang, 1.9, radius=0.6, fill=finish.face
        )

    def _top_door(self) -> Iterator[Shape]:
        top, bottom = self.top + 5.6, self.fall_top - 1.2
        x, width = self.left + SIDE, self.width - 2 * SIDE
        yield Rect(x, top, width, bottom - top, fill=self.finish.face)
        yield from self._panels("top", x, top, width, bottom - top, self.variety.pick("panels", (3, 2, 1, 3)))
        ledge = bottom - min(6.5, (bottom - top) * 0.16)
        reach = width * self.variety.between("desk", 0.2, 0.3)
        yield Rect(-reach, ledge, reach * 2, 1.7, radius=0.5, fill=self.finish.light)
        yield Rect(-reach, ledge + 1.2, reach * 2, 0.7, fill=self.finish.deep)

    def _panels(
        self, name: str, x: float, y: float, width: float, height: float, count: int
    ) -> Iterator[Shape]:
        rail, gap = min(4.6, height * 0.14), 3.6
        shares = {1: (1.0,), 2: (0.5, 0.5), 3: (0.3, 0.4, 0.3)}[count]
        inner = width - 2 * rail - gap * (count - 1)
        left = x + rail
        for number, share in enumerate(shares):
            across = inner * share
            yield from panel(
                left, y + rail, across, height - 2 * rail, self.finish, self.variety, f"{name} {number}"
            )
            left += across + gap

    def _bottom_door(self) -> Iterator[Shape]:
        x, width = self.left + SIDE, self.width - 2 * SIDE
        top = KEY_BED + 1
        yield Rect(x, top, width, PLINTH - top, fill=mix(self.finish.face, "#000000", 0.12))
        count = self.variety.pick("bottom panels", (1, 1, 2))
        yield from self._panels("bottom", x + 6, top, width - 12, PLINTH - top, count)
        yield Rect(self.left, PLINTH, self.width, -PLINTH - 3, fill=self.finish.face)
        yield Line(self.left, PLINTH, -self.left, PLINTH, stroke=self.finish.light, stroke_width=0.5)
        yield Rect(-14, PLINTH + 2.2, 28, 4.2, radius=0.8, fill=self.finish.deep)
        yield from pedals(0, self.pedal_count, PLINTH + 3.4)

    def _key_bed(self) -> Iterator[Shape]:
        finish, reach = self.finish, self.width + 3.2
        keys = min(keys_width(self.first_key, self.key_count), self.width - 12)
        yield from self._fall()
        yield Rect(-keys / 2, KEY_TOP - 5.8, keys, 0.9, fill="#7a2c28")  # the red cloth behind the keys
        yield from keys_from_front(self.first_key, self.key_count, -keys / 2, KEY_TOP - 5, 5.2)
        cheek = self.width / 2 + 0.6 - keys / 2
        for x in (-keys / 2 - cheek, keys / 2):
            yield Rect(x, KEY_TOP - 6.4, cheek, 7, radius=0.8, fill=finish.face)
            yield Line(x, KEY_TOP - 6.1, x + cheek, KEY_TOP - 6.1, stroke=finish.light, stroke_width=0.4)
        yield Rect(-reach / 2, KEY_TOP, reach, 5.4, radius=0.9, fill=finish.light)
        yield Rect(-reach / 2, KEY_TOP + 1.6, reach, 3.8, radius=0.7, fill=finish.face)
        yield Rect(-reach / 2 + 1.6, KEY_TOP + 5.4, reach - 3.2, KEY_BED - KEY_TOP - 4, fill=finish.dark)

    def _fall(self) -> Iterator[Shape]:
        x, width, y = self.left + SIDE, self.width - 2 * SIDE, self.fall_top
        yield Rect(x, y, width, KEY_TOP - y, fill=self.finish.dark)
        yield Line(x, y + 0.5, x + width, y + 0.5, stroke=self.finish.light, stroke_width=0.5)
        room = KEY_TOP - 6 - y
        if self.maker and room > 4:
            size = min(room * 0.55, 5.2, self.width * 1.1 / max(len(self.maker), 10))
            look = {"size": size, "anchor": "middle", "face": "serif", "fill": self.finish.lettering}
            yield Text(0, y + room / 2 + size * 0.34, self.maker, **look)

    def _legs(self) -> Iterator[Shape]:
        style = self.variety.pick("legs", ("turned", "tapered", "turned", "square", "bracket"))
        for side in (-1, 1):
            x = side * (self.width / 2 - 4.4)
            toe = min(side * (self.width / 2 - 11), side * (self.width / 2 + 1.2))
            if style == "bracket":
                yield from bracket(self, side)
            else:
                yield from turned_leg(x, KEY_BED + 1.2, PLINTH + 2.6, 7, self.finish, style)
            yield Rect(toe, PLINTH + 2.4, 12.2, 5.4, radius=0.9, fill=self.finish.light)
            yield Rect(toe, PLINTH + 4, 12.2, 3.8, radius=0.7, fill=self.finish.face)
            yield from castor(x, self.finish)
