"""Details as drawn plates: serial on the frame, key tops, hammers, pins. Plainly drawings; millimetres."""

from collections.abc import Callable, Iterator

from instruments.drawings import ink
from instruments.drawings.finish import IRON, Variety
from instruments.drawings.shapes import Drawing, Ellipse, Line, Path, Rect, Shape, Text, circle, mix, polygon

WIDTH, HEIGHT = 240.0, 180.0
STEEL = "#c9c5bc"
FELT = "#eee7d8"
WOOD = "#c69a63"
IVORY = "#f3ead6"
IRON_LIGHT, IRON_DARK = mix(IRON, "#ffffff", 0.3), mix(IRON, "#1a1206", 0.4)


def plate(subject: str, *, seed: str = "", serial: str = "", maker: str = "") -> Drawing:
    """`subject`: serial, key tops, hammers or pins."""
    name, draw = PLATES[subject]
    drawing = Drawing(
        WIDTH, HEIGHT, name, "A drawn plate, not a photograph.", background="#e9dfca", kind="plate"
    )
    drawing.extend(draw(Variety(seed), serial, maker))
    drawing.add(
        Rect(0, HEIGHT - 15, WIDTH, 15, fill=ink.PAPER),
        Text(8, HEIGHT - 4.6, name, size=7.5, face="serif-italic", fill=ink.SOFT_INK),
    )
    return drawing


def _serial(variety: Variety, serial: str, maker: str) -> Iterator[Shape]:
    yield Rect(0, 0, WIDTH, HEIGHT, fill=IRON)
    for x in (46, 194):
        yield Rect(x - 9, -2, 18, HEIGHT, fill=mix(IRON, "#1a1206", 0.12))
        yield Line(x - 9, 0, x - 9, HEIGHT, stroke=IRON_LIGHT, stroke_width=1.2)
        yield Line(x + 9, 0, x + 9, HEIGHT, stroke=IRON_DARK, stroke_width=1.2)
    yield Rect(
        64,
        40,
        112,
        74,
        radius=37 if variety.pick("cartouche", (True, False)) else 5,
        stroke=IRON_DARK,
        stroke_width=1.6,
    )
    yield Rect(
        65.5,
        41.5,
        109,
        71,
        radius=35.5 if variety.pick("cartouche", (True, False)) else 4,
        stroke=IRON_LIGHT,
        stroke_width=0.8,
    )
    yield from _cast(120, 70, maker or "maker not cast", 11 if len(maker) < 18 else 8, "serif")
    yield from _cast(120, 96, serial or "no number", 19, "sans-strong")
    for x, y in ((20, 24), (220, 24), (20, 140), (220, 140)):
        yield circle(x, y, 8, fill=IRON_DARK)
        yield circle(x, y, 6.6, fill="#6a5a3a")
        yield Line(x - 4.5, y - 2, x + 4.5, y + 2, stroke="#2b2315", stroke_width=1.6)


def _cast(x: float, y: float, words: str, size: float, face: str) -> Iterator[Shape]:
    """Letters stand proud of the iron: light above, shade below."""
    for shift, colour in ((0.7, IRON_DARK), (-0.5, IRON_LIGHT), (0, mix(IRON, "#ffffff", 0.12))):
        yield Text(x + shift, y + shift, words, size=size, anchor="middle", face=face, fill=colour)


def _key_tops(variety: Variety, serial: str, maker: str) -> Iterator[Shape]:
    yield Rect(0, 0, WIDTH, HEIGHT, fill="#3a2a20")
    width, shade = 34.0, variety.between("age", 0.0, 0.35)
    worn = variety.pick("worn key", range(1, 6))
    for number in range(8):
        x = -14 + number * width
        top = mix(IVORY, "#d9bd83", shade * variety.between(f"key {number}", 0.4, 1))
        yield Rect(x, -4, width - 1, 150, radius=1.5, fill=top)
        yield Line(x + 0.8, 78, x + width - 1.8, 78, stroke=mix(top, "#6b5330", 0.4), stroke_width=0.5)
        for line in range(3):
            left = x + 7 + line * 8 + variety.between(f"grain {number} {line}", -2, 2)
            yield Path(
                (("M", left, 80), ("C", left + 2, 100, left - 2, 120, left + 1, 144)),
                stroke=mix(top, "#9a7c4a", 0.25),
                stroke_width=0.35,
            )
        yield Rect(x, 146, width - 1, 8, fill=mix(top, "#5a4426", 0.3))
        if number == worn:
            yield polygon(
                [(x + width - 12, 146), (x + width - 1, 146), (x + width - 1, 137), (x + width - 6, 139)],
                fill=WOOD,
            )
    for number in (0, 1, 3, 4, 5, 7):
        x = -14 + (number + 1) * width - 9
        yield polygon([(x - 1.5, -4), (x + 19.5, -4), (x + 18, 76), (x, 76)], fill="#14110f")
        yield polygon([(x + 1.5, -4), (x + 16.5, -4), (x + 15.5, 68), (x + 2.5, 68)], fill=ink.INK)
        yield Line(x + 3.4, 0, x + 4, 64, stroke="#5a524a", stroke_width=0.8)


def _hammers(variety: Variety, serial: str, maker: str) -> Iterator[Shape]:
    yield Rect(0, 0, WIDTH, 58, fill="#b8a988")
    for number in range(24):
        x = 5 + number * 10.2
        yield Line(x, 0, x, 58, stroke="#8f8a80", stroke_width=1.1 - number * 0.02)
    depth = variety.between("grooves", 0.6, 2.4)
    for number in range(10):
        x, size = 4 + number * 24.0, 1 - number * 0.022
        yield Line(x + 9, 84, x + 9, 168, stroke="#b98a55", stroke_width=4.4)
        body = (
            ("M", x, 100), ("C", x - 1, 78, x + 3, 62, x + 9, 56 + (1 - size) * 20),
            ("C", x + 15, 62, x + 19, 78, x + 18, 100), ("Z",),
        )  # fmt: skip
        yield Path(body, fill=FELT, stroke="#cbbfa6", stroke_width=0.6)
        core = (
            ("M", x + 3, 108),
            ("C", x + 3, 92, x + 6, 80, x + 9, 76),
            ("C", x + 12, 80, x + 15, 92, x + 15, 108),
            ("Z",),
        )
        yield Path(core, fill=WOOD)
        for groove in (-3, 0, 3):
            y = 58 + abs(groove) * 0.9 + (1 - size) * 20
            yield Line(x + 9 + groove, y, x + 9 + groove, y + 2 + depth, stroke="#8d8069", stroke_width=0.9)
    yield Rect(0, 120, WIDTH, 9, fill="#8c6238")
    yield Rect(0, 129, WIDTH, 2.4, fill="#2f5a4a")


def _pins(variety: Variety, serial: str, maker: str) -> Iterator[Shape]:
    yield Rect(0, 0, WIDTH, HEIGHT, fill=IRON)
    yield Rect(0, 0, WIDTH, 9, fill=IRON_DARK)
    rust = variety.between("rust", 0.0, 0.5)
    wire, pin = mix(STEEL, "#8a4b22", rust * 0.7), mix("#8f8c86", "#7a4422", rust)
    for row in range(3):
        for number in range(11):
            x, y = 8 + number * 22.4 + row * 7.4, 34 + row * 36.0
            yield Line(x + 5.4, y, x + 5.4, HEIGHT, stroke=wire, stroke_width=1.2)
    for row in range(3):
        for number in range(11):
            x, y = 8 + number * 22.4 + row * 7.4, 34 + row * 36.0
            yield from _pin(x, y, wire, pin, variety.pick(f"pin {row} {number}", (-24, -12, 0, 12, 24)))


def _pin(x: float, y: float, wire: str, pin: str, turn: int) -> Iterator[Shape]:
    yield Ellipse(x, y + 1.5, 8, 8, fill=IRON_DARK)
    for coil in (7.2, 6.0):
        yield circle(x, y, coil, fill=wire, stroke="#5e574c", stroke_width=0.5)
    yield circle(x, y, 5, fill=mix(pin, "#000000", 0.25))
    yield circle(x - 0.5, y - 0.5, 4.3, fill=pin)
    slope, half = turn / 100, 2.6
    corners = [(-half, -half), (half, -half), (half, half), (-half, half)]
    yield polygon(
        [(x + across - slope * down, y + down + slope * across) for across, down in corners],
        fill=mix(pin, "#ffffff", 0.35), stroke="#4d4a46", stroke_width=0.4,
    )  # fmt: skip


PLATES: dict[str, tuple[str, Callable[[Variety, str, str], Iterator[Shape]]]] = {
    "serial": ("Drawing: the number cast in the frame", _serial),
    "key tops": ("Drawing: the key tops, near", _key_tops),
    "hammers": ("Drawing: the hammers under the strings", _hammers),
    "pins": ("Drawing: the wrest pins and their coils", _pins),
}
