"""The compass of an instrument drawn as a keyboard, the absent notes of the 88 ghosted."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property

from instruments.calc.compass import compass_sentence, is_sharp, note_label, top_key
from instruments.drawings import ink
from instruments.drawings.shapes import Drawing, Line, Rect, Shape, Text

NATURAL_WIDTH = 20
NATURAL_HEIGHT = 84
SHARP_WIDTH = 12
SHARP_HEIGHT = 52
LABEL_SIZE = 12
LABEL_SPACE = LABEL_SIZE + 10
# Sharps do not stand midway between their naturals (share of a natural's width, by step above C).
# Source: the usual lay-out of a keyboard; common practice, no source.
LEANING = {1: -0.12, 3: 0.12, 6: -0.14, 8: 0.0, 10: 0.14}
GHOST_DASH = (1.5, 3)


@dataclass(frozen=True)
class Cut:
    """How wide keys are drawn, and how large the letters under them, so that both can be read once scaled."""

    natural: float
    sharp: float
    letters: float

    @property
    def label_space(self) -> float:
        return self.letters + 10


WIDE = Cut(NATURAL_WIDTH, SHARP_WIDTH, LABEL_SIZE)
NARROW = Cut(natural=9, sharp=6, letters=18)  # the whole compass on a phone


@dataclass(frozen=True)
class Layout:
    """Where each key of a compass stands: the whole 88, and what goes beyond it, from one left edge."""

    first_key: int
    key_count: int
    left: float = 0
    top: float = 0
    cut: Cut = WIDE

    @property
    def last_key(self) -> int:
        return top_key(self.first_key, self.key_count)

    @property
    def own_keys(self) -> range:
        return range(self.first_key, self.last_key + 1)

    @property
    def shown_keys(self) -> range:
        return range(min(1, self.first_key), max(88, self.last_key) + 1)

    @cached_property
    def _edges(self) -> dict[int, float]:
        """The left edge of each shown key."""
        edges, right = {}, self.left
        for key in self.shown_keys:
            if is_sharp(key):
                leaning = LEANING[(key + 8) % 12] * self.cut.natural
                edges[key] = right + leaning - self.cut.sharp / 2
            else:
                edges[key] = right
                right += self.cut.natural
        return edges

    @property
    def width(self) -> float:
        return sum(self.cut.natural for key in self.shown_keys if not is_sharp(key))

    def edge(self, key: int) -> float:
        return self._edges[key]

    def middle(self, key: int) -> float:
        return self._edges[key] + self.key_width(key) / 2

    def key_width(self, key: int) -> float:
        return self.cut.sharp if is_sharp(key) else self.cut.natural

    def holds(self, key: int) -> bool:
        return key in self.own_keys


def keyboard_drawing(
    first_key: int, key_count: int, *, marked: Mapping[int, str] | None = None, cut: Cut = WIDE
) -> Drawing:
    """`marked`: keys to point at, each with the words that tell why."""
    left = 2 if cut == WIDE else cut.letters / 2  # half the letters of the lowest key stand out
    layout = Layout(first_key, key_count, left=left, top=2, cut=cut)
    marked = {key: why for key, why in (marked or {}).items() if layout.holds(key)}
    drawing = Drawing(
        width=layout.width + 2 * left,
        height=NATURAL_HEIGHT + cut.label_space + 4,
        name=f"Keyboard of {key_count} keys, {note_label(first_key)} to {note_label(layout.last_key)}",
        description=_description(layout, marked),
        kind=kind_of("keyboard", cut),
    )
    drawing.extend(key_shapes(layout, marked))
    drawing.extend(note_labels(layout))
    return drawing


def kind_of(kind: str, cut: Cut) -> str:
    """A page shows one of the two cuts by its width and hides the other: they go by different names."""
    return kind if cut == WIDE else f"{kind}-narrow"


def key_shapes(layout: Layout, marked: Mapping[int, str]) -> Iterator[Shape]:
    """Ghosts first, then naturals, then sharps, so that what is there covers what is not."""
    ghosts = [key for key in layout.shown_keys if not layout.holds(key)]
    naturals = [key for key in layout.own_keys if not is_sharp(key)]
    sharps = [key for key in layout.own_keys if is_sharp(key)]
    yield from (_ghost(layout, key) for key in sorted(ghosts, key=is_sharp))
    for key in naturals:
        yield from _natural(layout, key, marked.get(key))
    for key in sharps:
        yield from _sharp(layout, key, marked.get(key))


def note_labels(layout: Layout) -> Iterator[Text]:
    """Every C, and the two ends; a C that would touch an end's label gives way."""
    ends = (layout.first_key, layout.last_key)
    letters = layout.cut.letters
    apart = 2.1 * letters
    baseline = layout.top + NATURAL_HEIGHT + letters + 4
    for key in layout.own_keys:
        close = any(key != end and abs(layout.middle(key) - layout.middle(end)) < apart for end in ends)
        if key in ends or (note_label(key).startswith("C") and not is_sharp(key) and not close):
            yield Text(
                layout.middle(key),
                baseline,
                note_label(key),
                size=letters,
                anchor="middle",
                fill=ink.SOFT_INK,
                classes="key-label",
            )


def _own(layout: Layout, key: int, why: str | None) -> dict:
    words = f"{note_label(key)}, {why}" if why else note_label(key)
    return {"title": words, "data": (("key", str(key)),)}


def _ghost(layout: Layout, key: int) -> Rect:
    sharp = is_sharp(key)
    return Rect(
        layout.edge(key),
        layout.top,
        layout.key_width(key),
        SHARP_HEIGHT if sharp else NATURAL_HEIGHT,
        fill=ink.SHEET,
        stroke=ink.LINE_STRONG,
        stroke_width=0.9,
        dash=GHOST_DASH,
        title=f"{note_label(key)}, not made",
        classes="key key-absent",
    )


def _natural(layout: Layout, key: int, why: str | None) -> Iterator[Shape]:
    x = layout.edge(key)
    look = "key key-natural" + (" key-marked" if why is not None else "")
    yield Rect(
        x, layout.top, layout.cut.natural, NATURAL_HEIGHT, radius=1.5,
        fill=ink.SHEET, stroke=ink.LINE_STRONG, stroke_width=0.9, classes=look, **_own(layout, key, why),
    )  # fmt: skip
    if why is not None:
        inset = 0.15 * layout.cut.natural
        width = layout.cut.natural - 2 * inset
        yield Rect(x + inset, layout.top + NATURAL_HEIGHT - 9, width, 4, radius=1, fill=ink.RED)


def _sharp(layout: Layout, key: int, why: str | None) -> Iterator[Shape]:
    x = layout.edge(key)
    look = "key key-sharp" + (" key-marked" if why is not None else "")
    colour = ink.RED if why is not None else ink.INK
    yield Rect(
        x,
        layout.top,
        layout.cut.sharp,
        SHARP_HEIGHT,
        radius=1,
        fill=colour,
        classes=look,
        **_own(layout, key, why),
    )
    if why is not None:
        # A pale bar as well: the mark does not hang on colour alone.
        front, inset = layout.top + SHARP_HEIGHT - 9, 0.25 * layout.cut.sharp
        yield Line(x + inset, front, x + layout.cut.sharp - inset, front, stroke=ink.SHEET, stroke_width=2.5)


def _description(layout: Layout, marked: Mapping[int, str]) -> str:
    sharps = sum(is_sharp(key) for key in layout.own_keys)
    beside_88 = compass_sentence(layout.first_key, layout.key_count).partition("; ")[2]
    counts = f"{layout.key_count - sharps} naturals and {sharps} sharps"
    parts = [f"{counts}; {beside_88}." if beside_88 else f"{counts}."]
    if marked:
        parts.append(f"Marked: {', '.join(note_label(key) for key in sorted(marked))}.")
    return " ".join(parts)
