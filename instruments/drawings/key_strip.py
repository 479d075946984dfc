"""A keyboard with the faults marked at its keys, each by a sign of its own shape, colour and letter."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from instruments.calc.compass import is_sharp, note_label
from instruments.calc.key_lists import key_place, keys_text
from instruments.drawings import ink
from instruments.drawings.keyboard import (
    LABEL_SPACE,
    NATURAL_HEIGHT,
    NATURAL_WIDTH,
    SHARP_HEIGHT,
    SHARP_WIDTH,
    Layout,
    key_shapes,
)
from instruments.drawings.shapes import Drawing, Rect, Shape, Text, circle, polygon

EDGE = 2
ROW_GAP = 10
SPLIT_BEFORE = 40  # C4 begins the second row: no sharp stands between it and B3
SIGN = {True: SHARP_WIDTH - 1, False: NATURAL_WIDTH - 5}  # across, by whether the key is a sharp
MOST_SIGNS = {True: 4, False: 2}
LEGEND_LINE = 19
LEGEND_GAP = 16
LETTER_WIDTH = 6.4  # of the legend's type, on the generous side
COLOURS = {"key": ink.RED, "action": ink.GREEN, "string": ink.INK, "covering": ink.SOFT_INK}


@dataclass(frozen=True)
class KeySign:
    """One fault as it stands on a key. `kind` (key, action, string, covering) gives shape and colour."""

    kind: str
    letter: str
    words: str


@dataclass(frozen=True)
class Row(Layout):
    """The keys from `low` to `high` of a keyboard, where the whole would be too small to read."""

    low: int = 1
    high: int = 88

    @property
    def own_keys(self) -> range:
        return _clipped(super().own_keys, self.low, self.high)

    @property
    def shown_keys(self) -> range:
        return _clipped(super().shown_keys, self.low, self.high)


def key_strip_drawing(
    first_key: int, key_count: int, signs: Mapping[int, Sequence[KeySign]], *, rows: int = 1
) -> Drawing:
    """`signs`: what is marked at each key, 1 being A0. Two `rows` stand twice as large, for paper."""
    layouts = _rows(first_key, key_count, rows)
    width = max(layout.width for layout in layouts) + 2 * EDGE
    signs = {key: marks for key, marks in signs.items() if marks and layouts[0].first_key <= key}
    entries = list(_legend(signs, width, layouts[-1].top + NATURAL_HEIGHT + LABEL_SPACE + 8))
    drawing = Drawing(
        width=width,
        height=_foot(layouts, entries),
        name=f"Marked keys of {key_count}, {note_label(first_key)} to {note_label(layouts[0].last_key)}",
        description=_description(first_key, key_count, signs),
        kind="key-strip",
    )
    for layout in layouts:
        drawing.extend(key_shapes(layout, {}))
        drawing.extend(_labels(layout))
        drawing.extend(_signs(layout, signs))
    drawing.extend(entries)
    return drawing


def _clipped(keys: range, low: int, high: int) -> range:
    return range(max(keys.start, low), min(keys.stop, high + 1))


def _rows(first_key: int, key_count: int, rows: int) -> list[Row]:
    whole = Layout(first_key, key_count).shown_keys
    ends = [whole.start, *([SPLIT_BEFORE] if rows > 1 else []), whole.stop]
    height = NATURAL_HEIGHT + LABEL_SPACE + ROW_GAP
    return [
        Row(first_key, key_count, left=EDGE, top=EDGE + number * height, low=low, high=after - 1)
        for number, (low, after) in enumerate(pairwise(ends))
    ]


def _foot(layouts: list[Row], entries: list[Shape]) -> float:
    keyboard = layouts[-1].top + NATURAL_HEIGHT + LABEL_SPACE + EDGE
    return max([keyboard, *(shape.y + 8 for shape in entries if isinstance(shape, Text))])


def _labels(layout: Row) -> Iterator[Text]:
    """Every C and the two ends of the keyboard, where they stand in this row; a close C gives way."""
    ends = [key for key in (layout.first_key, layout.last_key) if layout.holds(key)]
    for key in layout.own_keys:
        close = any(key != end and abs(layout.middle(key) - layout.middle(end)) < 26 for end in ends)
        if key in ends or (note_label(key).startswith("C") and not is_sharp(key) and not close):
            yield Text(
                layout.middle(key),
                layout.top + NATURAL_HEIGHT + 16,
                note_label(key),
                size=12,
                anchor="middle",
                fill=ink.SOFT_INK,
                classes="key-label",
            )


def _signs(layout: Row, signs: Mapping[int, Sequence[KeySign]]) -> Iterator[Shape]:
    """Naturals first, so that a sharp's sign is never covered."""
    for key in sorted(signs, key=is_sharp):
        if layout.holds(key):
            yield from _signs_of_key(layout, key, signs[key])


def _signs_of_key(layout: Row, key: int, marks: Sequence[KeySign]) -> Iterator[Shape]:
    """From the front of the key backwards; what finds no room is counted in the last place."""
    sharp = is_sharp(key)
    size, most = SIGN[sharp], MOST_SIGNS[sharp]
    front = layout.top + (SHARP_HEIGHT if sharp else NATURAL_HEIGHT) - size / 2 - 2
    told = f"{note_label(key)}, key {key_place(key, layout.first_key)}: "
    told += ", ".join(mark.words.lower() for mark in marks)
    shown = list(marks) if len(marks) <= most else list(marks[: most - 1])
    for place, mark in enumerate(shown):
        yield from sign_shapes(layout.middle(key), front - place * (size + 1), size, mark, title=told)
    if more := len(marks) - len(shown):
        colour = ink.SHEET if sharp else ink.INK
        y = front - len(shown) * (size + 1) + size * 0.3
        yield Text(
            layout.middle(key), y, f"+{more}", size=size * 0.7, anchor="middle", fill=colour, title=told
        )


def sign_shapes(x: float, y: float, size: float, mark: KeySign, *, title: str = "") -> Iterator[Shape]:
    """The sign with its middle at x, y. Paper-white edges keep it apart from an ebony key."""
    look = {
        "fill": COLOURS[mark.kind],
        "stroke": ink.SHEET,
        "stroke_width": 0.9,
        "title": title,
        "classes": f"fault-sign fault-{mark.kind}",
    }
    half = size / 2
    match mark.kind:
        case "action":
            yield circle(x, y, half, **look)
        case "string":
            yield polygon(
                [(x, y - half - 1), (x + half + 1, y), (x, y + half + 1), (x - half - 1, y)], **look
            )
        case "covering":
            corners = [(x - half, y - half), (x + half, y - half), (x + half * 0.55, y + half)]
            yield polygon([*corners, (x - half * 0.55, y + half)], **look)
        case _:
            yield Rect(x - half, y - half, size, size, radius=1, **look)
    yield Text(
        x,
        y + size * 0.26,
        mark.letter,
        size=size * 0.74,
        anchor="middle",
        face="sans-strong",
        fill=ink.SHEET,
    )


def _legend(signs: Mapping[int, Sequence[KeySign]], width: float, top: float) -> Iterator[Shape]:
    """Each sign that stands somewhere, with its words, in as many lines as it takes."""
    x, y = EDGE + 10.0, top + 8
    for mark in _in_order(signs):
        room = 14 + len(mark.words) * LETTER_WIDTH
        if x + room > width and x > EDGE + 10:
            x, y = EDGE + 10.0, y + LEGEND_LINE
        yield from sign_shapes(x, y, SIGN[False], mark)
        yield Text(x + 13, y + 4, mark.words, size=12, fill=ink.SOFT_INK)
        x += room + LEGEND_GAP


def _description(first_key: int, key_count: int, signs: Mapping[int, Sequence[KeySign]]) -> str:
    told = []
    for mark in _in_order(signs):
        keys = [key for key, marks in signs.items() if mark in marks]
        told.append(f"{mark.words}: {keys_text(keys, first_key, key_count)}.")
    return " ".join(told) if told else "No key is marked."


def _in_order(signs: Mapping[int, Sequence[KeySign]]) -> list[KeySign]:
    """Each sign that stands somewhere, once: by kind, then by its words."""
    kinds = list(COLOURS)
    return sorted(
        {mark for marks in signs.values() for mark in marks},
        key=lambda mark: (kinds.index(mark.kind), mark.words),
    )
