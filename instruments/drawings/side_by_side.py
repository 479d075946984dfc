"""Several instruments for one page: cases to one scale, compasses over one another, touch on one scale."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from statistics import median

from instruments.calc.compass import note_label, top_key
from instruments.calc.touchweight import KeyVerdict, target_g
from instruments.drawings import ink
from instruments.drawings.grand import Grand
from instruments.drawings.instrument_picture import FLOOR, SHADOW, WALL, Subject, case_of
from instruments.drawings.shapes import Drawing, Ellipse, Line, Rect, Shape, Text, circle, polygon, polyline
from instruments.drawings.touch_chart import Curve

AROUND = 14.0
BELOW = 24.0
RULE_CM = 100
KEY, BAR, STEP = 10.0, 12.0, 62.0
OCTAVES = tuple(range(4, 89, 12))  # C1 to C8
TOUCH_WIDE, TOUCH_TALL, TOUCH_LEFT, TOUCH_TOP = 440.0, 170.0, 46.0, 12.0
NEIGHBOURS = 4  # on each side of a key, for the line through the points


def to_one_scale(subjects: Sequence[Subject]) -> list[Drawing]:
    """One drawing for each, all of one size and one scale, so that cells of one width compare them."""
    cases = [case_of(subject) for subject in subjects]
    wide = max(case.length * 1.1 if isinstance(case, Grand) else case.width for case in cases) + 2 * AROUND
    tall = max(case.height + (case.lid_rise if isinstance(case, Grand) else 0) for case in cases) + 2 * AROUND
    return [_case(subject, case, wide, tall) for subject, case in zip(subjects, cases, strict=True)]


def _case(subject: Subject, case, wide: float, tall: float) -> Drawing:
    drawing = Drawing(
        width=wide,
        height=tall + BELOW,
        left=-wide / 2,
        top=-tall,
        name=f"Drawing of {subject.maker or 'it'}, to one scale with the others",
        description=f"The line below is {RULE_CM} cm long.",
        background=WALL,
        kind="instrument",
    )
    reach = case.length if isinstance(case, Grand) else case.width
    drawing.add(
        Rect(-wide / 2, -7, wide, BELOW + 7, fill=FLOOR),
        Ellipse(0, -0.5, reach * 0.54, 5.2, fill=SHADOW),
    )
    drawing.extend(case.shapes())
    right, y = wide / 2 - 8, BELOW - 6
    ends = {"stroke": ink.SOFT_INK, "stroke_width": 0.7}
    drawing.add(
        Line(right - RULE_CM, y, right, y, **ends),
        Line(right - RULE_CM, y - 2, right - RULE_CM, y + 2, **ends),
        Line(right, y - 2, right, y + 2, **ends),
        Text(right - RULE_CM - 4, y + 3, f"{RULE_CM} cm", size=9, anchor="end", fill=ink.SOFT_INK),
    )
    return drawing


@dataclass(frozen=True)
class Compass:
    name: str
    first_key: int
    key_count: int


def compasses(each: Sequence[Compass]) -> Drawing:
    """A bar for each over the octaves, the 88 of today ghosted behind it."""
    low = min(1, *(one.first_key for one in each))
    high = max(88, *(top_key(one.first_key, one.key_count) for one in each))
    drawing = Drawing(
        width=(high - low + 1) * KEY + 4,
        height=STEP * len(each) + 20,
        name="The compasses over one another",
        description=" ".join(_spoken(one) for one in each),
        kind="compasses",
    )
    for key in OCTAVES:
        x = (key - low) * KEY + 2
        drawing.add(Line(x, 8, x, STEP * len(each) - 6, stroke=ink.LINE, stroke_width=1))
        words = Text(x, STEP * len(each) + 14, note_label(key), size=20, anchor="middle", fill=ink.SOFT_INK)
        drawing.add(words)
    for number, one in enumerate(each):
        drawing.extend(_bar(one, low, number * STEP))
    return drawing


def _spoken(one: Compass) -> str:
    last = top_key(one.first_key, one.key_count)
    return f"{one.name}: {one.key_count} keys, {note_label(one.first_key)} to {note_label(last)}."


def _bar(one: Compass, low: int, top: float) -> list[Shape]:
    left, y = (one.first_key - low) * KEY + 2, top + 30
    return [
        Text(2, top + 20, _spoken(one), size=23, fill=ink.INK),
        Rect((1 - low) * KEY + 2, y, 88 * KEY, BAR, stroke=ink.LINE_STRONG, stroke_width=1, dash=(3, 4)),
        Rect(left, y, one.key_count * KEY, BAR, fill=ink.INK),
    ]


@dataclass(frozen=True)
class Weighed:
    name: str
    first_key: int
    key_count: int
    keys: tuple[KeyVerdict, ...]
    curve: Curve


def touches(each: Sequence[Weighed]) -> list[Drawing]:
    """Down-weights of each over the 88 keys, all on one scale; a line through the middle of neighbours."""
    grams = [float(key.down_g) for one in each for key in one.keys] or [50.0]
    low = min(30, int(min(grams) // 10) * 10)
    high = max(70, -int(-max(grams) // 10) * 10)
    return [_touch(one, low, high) for one in each]


def _touch(one: Weighed, low: int, high: int) -> Drawing:
    def x(key: int) -> float:
        return TOUCH_LEFT + (key - 0.5) * TOUCH_WIDE / 88

    def y(weight) -> float:
        return TOUCH_TOP + TOUCH_TALL * (1 - (float(weight) - low) / (high - low))

    drawing = Drawing(
        width=TOUCH_LEFT + TOUCH_WIDE + 6,
        height=TOUCH_TOP + TOUCH_TALL + 24,
        name=f"Down-weights of {one.name}",
        description="On one scale with the others: points are keys, the line their middle, the band the aim.",
        kind="touch-beside",
    )
    for weight in range(low, high + 1, 10):
        drawing.add(Line(TOUCH_LEFT, y(weight), TOUCH_LEFT + TOUCH_WIDE, y(weight), stroke=ink.LINE))
        words = f"{weight} g" if weight == high else str(weight)
        drawing.add(Text(TOUCH_LEFT - 6, y(weight) + 5, words, size=15, anchor="end", fill=ink.SOFT_INK))
    drawing.extend(_aim(one, x, y))
    for key in one.keys:
        drawing.add(circle(x(key.key), y(key.down_g), 2.2, fill=ink.SOFT_INK))
    drawing.add(
        polyline([(x(key), y(weight)) for key, weight in _middle(one.keys)], stroke=ink.INK, stroke_width=2.4)
    )
    for key in OCTAVES[::2]:
        drawing.add(
            Text(x(key), drawing.height - 5, note_label(key), size=15, anchor="middle", fill=ink.SOFT_INK)
        )
    return drawing


def _aim(one: Weighed, x, y) -> Iterable[Shape]:
    aims = [
        (
            one.first_key + place - 1,
            target_g(
                place,
                one.key_count,
                bass_g=one.curve.bass_g,
                middle_g=one.curve.middle_g,
                treble_g=one.curve.treble_g,
            ),
        )
        for place in range(1, one.key_count + 1)
    ]
    within = one.curve.tolerance_g
    over = [(x(key), y(aim + within)) for key, aim in aims]
    under = [(x(key), y(aim - within)) for key, aim in reversed(aims)]
    yield polygon(over + under, fill=ink.GREEN_WASH)


def _middle(keys: Sequence[KeyVerdict]) -> list[tuple[int, float]]:
    """The median of each key's down-weight with its neighbours', so that one key does not bend the line."""
    weights = [float(key.down_g) for key in keys]
    return [
        (key.key, median(weights[max(0, place - NEIGHBOURS) : place + NEIGHBOURS + 1]))
        for place, key in enumerate(keys)
    ]
