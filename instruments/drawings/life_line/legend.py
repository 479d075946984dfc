"""The signs in use, each with its meaning, and what has no date and so no place on the line."""

from collections.abc import Iterator, Sequence

from instruments.drawings import ink
from instruments.drawings.life_line.bars import Reach, Track, bar
from instruments.drawings.life_line.entries import CONTRADICTED, FIRM, KINDS, MARKS, Entry
from instruments.drawings.life_line.lettering import PLAIN, set_label, width_of
from instruments.drawings.shapes import Shape, Text

SIZE = 12.5
ROW = 22.0
SAMPLE = 26.0


def legend(entries: Sequence[Entry], *, left: float, width: float, top: float) -> tuple[list[Shape], float]:
    """Its shapes and the y below them."""
    shapes: list[Shape] = []
    x, y = left, top
    for sample, reach, words in _samples(entries):
        taken = SAMPLE + 7 + width_of(words, PLAIN, SIZE)
        if x > left and x + taken > left + width:
            x, y = left, y + ROW
        shapes += bar(sample, _moved(reach, x), Track(y - 10, y + 1))
        shapes.append(Text(x + SAMPLE + 7, y, words, size=SIZE, fill=ink.SOFT_INK))
        x += taken + 20
    return shapes, y + ROW - 8


def _samples(entries: Sequence[Entry]) -> Iterator[tuple[Entry, Reach, str]]:
    """One bar for each mark, one for soft ends, one sign for each kind: only those that occur."""
    marks = {entry.mark for entry in entries if entry.dated and not KINDS[entry.kind]}
    for mark, words in MARKS.items():
        if mark in marks:
            inset = 5 if mark == CONTRADICTED else 0  # its strike runs beyond the bar
            yield Entry("", mark=mark), Reach(inset, inset, SAMPLE - inset, SAMPLE - inset), words
    if marks:
        yield Entry("", mark=FIRM), Reach(0, 9, SAMPLE - 9, SAMPLE), "between two dates"
    for kind, words in KINDS.items():
        if words and any(entry.kind == kind for entry in entries if entry.dated):
            yield Entry("", kind=kind), Reach(SAMPLE - 12, SAMPLE - 12, SAMPLE, SAMPLE), words


def _moved(reach: Reach, x: float) -> Reach:
    return Reach(x + reach.start, x + reach.firm_start, x + reach.firm_end, x + reach.end)


def undated_lines(
    entries: Sequence[Entry], *, left: float, width: float, top: float
) -> tuple[list[Shape], float]:
    """Those without a date, in a few lines; the table has them whole."""
    if not entries:
        return [], top
    label = set_label("Without a date:", "; ".join(entry.label for entry in entries), width, size=SIZE)
    return list(label.texts(left, top)), top + label.height
