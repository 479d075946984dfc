"""Labels measured and broken into lines, and what they look like."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

from instruments.documents import fonts
from instruments.drawings import ink
from instruments.drawings.shapes import Text

SIZE = 14.0
LINE = 17.5
MOST_LINES = 4
STRONG, PLAIN = "sans-strong", "sans"
COLOURS = {STRONG: ink.INK, PLAIN: ink.SOFT_INK}


@dataclass(frozen=True, slots=True)
class Run:
    """Words of one face, set from `x` on."""

    x: float
    text: str
    face: str


@dataclass(frozen=True, slots=True)
class Label:
    """Lines of runs, with the width of the widest."""

    lines: tuple[tuple[Run, ...], ...]
    width: float
    size: float = SIZE

    @property
    def height(self) -> float:
        return len(self.lines) * LINE

    def texts(self, x: float, first_baseline: float) -> Iterator[Text]:
        for place, line in enumerate(self.lines):
            for run in line:
                y = first_baseline + place * LINE
                yield Text(x + run.x, y, run.text, size=self.size, face=run.face, fill=COLOURS[run.face])


@lru_cache(maxsize=4096)
def width_of(text: str, face: str = PLAIN, size: float = SIZE) -> float:
    return fonts.width_of(text, fonts.FACES[face], size)


def set_label(label: str, detail: str, width: float, *, size: float = SIZE) -> Label:
    """The label in the strong face and the detail after it, in lines no wider than `width`.

    What needs more than MOST_LINES ends with an ellipsis; the whole stands in the table under the drawing.
    """
    words = [(word, STRONG) for word in label.split()] + [(word, PLAIN) for word in detail.split()]
    lines = _lines([piece for word, face in words for piece in _pieces(word, face, width, size)], width, size)
    if len(lines) > MOST_LINES:
        lines = lines[:MOST_LINES]
        lines[-1] = _ended(lines[-1], width, size)
    set_lines = tuple(_runs(line, size) for line in lines)
    return Label(set_lines, max((_line_width(line, size) for line in lines), default=0.0), size)


def _pieces(word: str, face: str, width: float, size: float) -> Iterator[tuple[str, str]]:
    """A word too long for a line, in parts that fit."""
    while width_of(word, face, size) > width and len(word) > 1:
        cut = next(
            n for n in range(len(word) - 1, 0, -1) if n == 1 or width_of(word[:n], face, size) <= width
        )
        yield word[:cut], face
        word = word[cut:]
    yield word, face


def _lines(words: list[tuple[str, str]], width: float, size: float) -> list[list[tuple[str, str]]]:
    lines: list[list[tuple[str, str]]] = []
    for word in words:
        if lines and _line_width([*lines[-1], word], size) <= width:
            lines[-1].append(word)
        else:
            lines.append([word])
    return lines


def _ended(line: list[tuple[str, str]], width: float, size: float) -> list[tuple[str, str]]:
    """The line with an ellipsis at its end, and as much of its last word as leaves room for one."""
    *before, (word, face) = line
    for end in range(len(word), 0, -1):
        ended = [*before, (f"{word[:end].rstrip('.,;')}…", face)]
        if _line_width(ended, size) <= width:
            return ended
    ended = [*before, ("…", face)]
    return ended if not before or _line_width(ended, size) <= width else _ended(before, width, size)


def _line_width(line: list[tuple[str, str]], size: float) -> float:
    """The words and what stands between them: nothing is kerned, so widths add up."""
    gaps = sum(_gap(before[1], after[1], size) for before, after in pairwise(line))
    return gaps + sum(width_of(word, face, size) for word, face in line)


def _gap(face: str, next_face: str, size: float) -> float:
    """A space; a little more where the face changes, so that words stay apart in a font that stands in."""
    return width_of(" ", face, size) if face == next_face else size * 0.34


def _runs(line: list[tuple[str, str]], size: float) -> tuple[Run, ...]:
    """Neighbouring words of one face become one text."""
    runs: list[Run] = []
    for word, face in line:
        if runs and runs[-1].face == face:
            runs[-1] = Run(runs[-1].x, f"{runs[-1].text} {word}", face)
        else:
            x = runs[-1].x + width_of(runs[-1].text, runs[-1].face, size) + size * 0.34 if runs else 0.0
            runs.append(Run(x, word, face))
    return tuple(runs)
