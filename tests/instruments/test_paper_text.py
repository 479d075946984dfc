import ast
from pathlib import Path

import pytest
from reportlab.platypus.flowables import Flowable

from instruments.documents import fonts, styles
from instruments.documents.sheet import WIDTH, print_sheet
from instruments.documents.text import MARK, MOST_CHARACTERS, MOST_LINES, PIECE, p, printable
from tests.hostile import HOSTILE_TEXTS
from tests.instruments.test_paper_kit import IMPRINT
from tests.reading import Reading

ROOT = Path(__file__).resolve().parents[2]
PROJECT_FILES = [path for app in ("instruments", "workorders", "shop") for path in (ROOT / app).rglob("*.py")]
PARAGRAPH_MAKERS = {"Paragraph", "XPreformatted", "ParaParser", "ParagraphAndImage", "TableOfContents"}


def words_of(pieces) -> str:
    return " ".join(piece.frags[0].text for piece in pieces)


def test_only_the_text_helper_makes_paragraphs():
    users = {
        str(path.relative_to(ROOT))
        for path in PROJECT_FILES
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if (isinstance(node, ast.Name) and node.id in PARAGRAPH_MAKERS)
        or (isinstance(node, ast.Attribute) and node.attr in PARAGRAPH_MAKERS)
        or (isinstance(node, ast.alias) and node.name.rpartition(".")[2] in PARAGRAPH_MAKERS)
    }
    assert users == {"instruments/documents/text.py"}


@pytest.mark.parametrize("text", HOSTILE_TEXTS, ids=range(len(HOSTILE_TEXTS)))
def test_hostile_words_are_set_as_plain_words(text):
    pieces = p(text, styles.BODY)
    assert "".join(words_of(pieces).split()) == "".join(printable(text, fonts.SERIF).split())


def test_markup_keeps_its_brackets():
    assert words_of(p('<img src="/etc/passwd"/> & <b>', styles.BODY)) == '<img src="/etc/passwd"/> & <b>'


@pytest.mark.parametrize("font", fonts.FILES)
@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("\x00\x1b\x7f", MARK * 3),
        ("\ud800", MARK),
        ("\u202egnp.exe", MARK + "gnp.exe"),
        ("a\u200bb\u00adc\ufeff", "abc"),
        ("e\u0301", "é"),
        ("Ａ", "A"),
        ("C\u266f4, B\u266d", "C#4, Bb"),
        ("中", MARK),
        ("Łódź Жук Ωμέγα", "Łódź Жук Ωμέγα"),
        ("one\r\ntwo\u2028three", "one two three"),
    ],
)
def test_characters_are_shown_made_plainer_or_marked(font, text, shown):
    assert printable(text, font) == shown


@pytest.mark.parametrize("font", fonts.FILES)
def test_every_printable_character_has_a_shape_in_the_face(font):
    everything = "".join(map(chr, [*range(0x3400), *range(0xD7F0, 0xE010), *range(0x1F300, 0x1F700)]))
    assert {ord(each) for each in printable(everything, font)} <= fonts.code_points(font)


def test_each_line_is_a_paragraph_of_its_own():
    assert [piece.frags[0].text for piece in p("one\n\n  two\r\nthree\n", styles.BODY)] == [
        "one",
        "two",
        "three",
    ]


def test_blank_text_prints_nothing():
    assert p(" \n\u200b\n ", styles.BODY) == []


def test_long_text_is_cut_into_short_paragraphs_without_losing_a_word():
    words = [f"word{number:05d}" for number in range(1_900)]
    pieces = p(" ".join(words), styles.BODY)
    assert max(len(piece.frags[0].text) for piece in pieces) <= PIECE
    assert words_of(pieces).split() == words


def test_a_word_without_end_is_cut_too():
    pieces = p("W" * 9_001, styles.BODY)
    assert [len(piece.frags[0].text) for piece in pieces] == [2_000, 2_000, 2_000, 2_000, 1_001]


def test_text_beyond_the_limit_says_how_much_is_left_out():
    pieces = p("x " * 15_000, styles.BODY)
    assert words_of(pieces).endswith("(cut here; 10,000 more characters are in the record)")
    assert sum(len(piece.frags[0].text) for piece in pieces) < MOST_CHARACTERS + 100


def test_thousands_of_lines_run_on_after_the_first_hundreds():
    pieces = p("a\n" * 9_000, styles.BODY)
    assert len(pieces) < MOST_LINES + 20
    assert words_of(pieces).split() == ["a"] * 9_000


def test_a_paragraph_that_could_not_be_split_is_drawn_whole():
    """ReportLab forgets the lines of a paragraph when it finds no place to split it."""
    (prose,) = p("two lines of words " * 8, styles.BODY)
    assert prose.split(WIDTH, 16) == []
    assert "two lines of words" in Reading(print_sheet([Drawn(prose)], IMPRINT)).text


class Drawn(Flowable):
    """Draws a piece without asking it again how much room it takes."""

    def __init__(self, piece):
        super().__init__()
        self.piece = piece

    def wrap(self, width, height):
        return width, 40

    def draw(self):
        self.piece.drawOn(self.canv, 0, 0)


@pytest.mark.parametrize("width", [-3, 0, 0.2, 4])
def test_words_are_set_in_a_column_too_narrow_for_a_letter(width):
    (prose,) = p("Wrest pins", styles.CAPTION)
    assert prose.wrap(width, 100)[1] > 0 and prose.least_height(width) > 0
