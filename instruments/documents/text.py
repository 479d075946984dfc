"""Words onto paper. `p` is the one door: nothing else in the project makes a ReportLab Paragraph.

A Paragraph reads its text as markup: what a person typed could embed a file from the disk, plant a link,
lose words or raise. Here the words never meet that parser. They are handed over as one finished fragment
in the style's own face, so `<b>` prints as those three characters, and an ampersand as an ampersand.

Characters: text is brought to composed form first. What takes no room and no ink (zero-width spaces and
joiners, soft hyphens, variation selectors) is left out. Control characters, direction overrides and lone
surrogates, and whatever the face has no shape for, print as MARK; a plainer form of the same character is
tried before that (a full-width letter becomes the letter, a music sharp becomes #). A page that bears
a MARK says at its foot what it stands for.
"""

import re
import unicodedata
from functools import cache

from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus.paragraph import Paragraph
from reportlab.platypus.paraparser import ParaFrag

from instruments.documents import fonts
from instruments.documents.tags import Element

MARK = "\u25ca"  # a lozenge, in both families
MOST_CHARACTERS = 20_000
MOST_LINES = 200
MOST_SPOKEN = 1_000
PIECE = 2_000
NARROWEST = 1.0  # points: ReportLab sets nothing at all in less

_LINE_ENDS = re.compile(r"\r\n|[\n\r\v\f\x1c-\x1e\x85\u2028\u2029]")
_UNSPEAKABLE = re.compile("[\x00-\x1f\x7f-\x9f\ud800-\udfff\u202a-\u202e\u2066-\u2069]")
_NO_INK = dict.fromkeys(
    [0xAD, 0x34F, 0x200B, 0x200C, 0x200D, 0x2060, 0xFEFF, *range(0xFE00, 0xFE10), *range(0xE0100, 0xE01F0)],
    "",
)
_PLAINER = {0x266D: "b", 0x266E: "natural", 0x266F: "#", 0x09: " "}


class _Printable(dict):
    """A translation table that works out each character when it is first met."""

    def __init__(self, font: str):
        super().__init__(_NO_INK)
        self.known = fonts.code_points(font)

    def __missing__(self, code_point: int) -> str:
        self[code_point] = form = self._form(code_point)
        return form

    def _form(self, code_point: int) -> str:
        character = chr(code_point)
        if unicodedata.category(character) in {"Cc", "Cf", "Cs", "Co", "Cn"}:
            return _PLAINER.get(code_point, MARK)
        if code_point in self.known:
            return character
        plainer = _PLAINER.get(code_point) or unicodedata.normalize("NFKC", character)
        return plainer if all(ord(each) in self.known for each in plainer) else MARK


@cache
def _printable_in(font: str) -> _Printable:
    return _Printable(font)


def printable(text: str, font: str) -> str:
    """The text as this face can show it, on one line. Lengths may differ from what came in."""
    return unicodedata.normalize("NFC", _LINE_ENDS.sub(" ", text)).translate(_printable_in(font))


def speakable(text: str) -> str:
    """The text on one line for the file's own data and for reading aloud, where any script will do."""
    return _UNSPEAKABLE.sub("\ufffd", unicodedata.normalize("NFC", _LINE_ENDS.sub(" ", text)))[:MOST_SPOKEN]


def p(text: str, style: ParagraphStyle, *, kind: str = "P") -> list["Prose"]:
    """One paragraph for every line of the text, none longer than 2,000 characters; blank text gives none.

    `kind` is the structure element: P, H1, H2, Lbl, Caption ...
    """
    return [
        _prose(piece, style, kind)
        for line in _lines(text)
        for piece in _pieces(printable(line, style.fontName))
    ]


def _lines(text: str) -> list[str]:
    text = str(text)
    if len(text) > MOST_CHARACTERS:
        left_out = len(text) - MOST_CHARACTERS
        text = f"{text[:MOST_CHARACTERS]} \u2026 (cut here; {left_out:,} more characters are in the record)"
    lines = [line for line in (part.strip() for part in _LINE_ENDS.split(text)) if line]
    # Past a page or three of single lines the rest runs on as one text, with nothing left out.
    return [*lines[:MOST_LINES], " ".join(lines[MOST_LINES:])] if len(lines) > MOST_LINES else lines


def _pieces(text: str) -> list[str]:
    """Cut at the last sentence end, or else space, before the limit: setting time grows with the square."""
    pieces = []
    while len(text) > PIECE:
        cut = text.rfind(". ", PIECE // 2, PIECE) + 1 or text.rfind(" ", PIECE // 2, PIECE) or PIECE
        cut = cut if cut > 0 else PIECE
        pieces.append(text[:cut].strip())
        text = text[cut:]
    return [piece for piece in (*pieces, text.strip()) if piece]


def _prose(text: str, style: ParagraphStyle, kind: str) -> "Prose":
    fragment = ParaFrag(
        text=text,
        fontName=style.fontName,
        fontSize=style.fontSize,
        textColor=style.textColor,
        bold=0,
        italic=0,
        rise=0,
        greek=0,
        link=[],
        us_lines=[],
    )
    prose = Prose("", style, frags=[fragment])
    prose.element = Element(kind)
    prose.has_mark = MARK in text
    return prose


class Prose(Paragraph):
    """Plain words in one face. Made by `p` alone."""

    element: Element
    has_mark = False
    _set_width = None

    def wrap(self, width, height):
        width = max(width, NARROWEST)
        if self._set_width != width or not hasattr(self, "blPara"):
            self._size = super().wrap(width, height)
            self._set_width = width
        return self._size

    def least_height(self, width):
        _, tall = self.wrap(width, 0)
        return tall if len(self.blPara.lines) <= 3 else 2 * self.style.leading

    def split(self, width, height):
        self.wrap(width, height)
        parts = super().split(width, height)
        self._set_width = None
        if not parts:
            self.wrap(width, height)  # ReportLab has thrown its lines away, and it may yet be drawn whole
        for part in parts:
            part.element, part.has_mark = self.element, self.has_mark
        return parts

    def draw(self):
        # A space after each line, so that the last word of one and the first of the next stay two words.
        self.blPara.lines = [
            (room, [*words, ""] if type(words[-1]) is str else words) for room, words in self.blPara.lines
        ]
        with self.canv.tagged(self.element):
            super().draw()
