from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import date

import pytest

from instruments.documents import fonts, pour, styles
from instruments.documents.columns import Columns, Newspaper
from instruments.documents.content import Clause, ConditionLine, Fact, MoneyLine
from instruments.documents.figures import DrawingFigure
from instruments.documents.pieces import (
    Gap,
    Together,
    WritingLines,
    condition_table,
    facts_grid,
    heading,
    money_column,
    numbered_clauses,
)
from instruments.documents.qr import QrFigure
from instruments.documents.sheet import FIRST_PAGE_HEIGHT, WIDTH, Imprint, print_sheet
from instruments.documents.text import MARK, p
from instruments.drawings.shapes import Drawing, Text
from tests.hostile import HOSTILE_TEXTS
from tests.reading import Reading

IMPRINT = Imprint(
    title="Halden & Rook, stock 26-014",
    subject="An upright of about 1912",
    shop_name="Castlemere Pianos",
    number="stock 26-014",
    dated=date(2026, 4, 14),
    content_hash="3f2a 9c41 77b0 e2d1",
    running_head="Halden & Rook, continued",
)


def printed(pieces, imprint=IMPRINT) -> Reading:
    return Reading(print_sheet(pieces, imprint))


def some_paragraphs(count: int):
    return [
        piece for number in range(count) for piece in p(f"Paragraph {number}. " + "felt " * 60, styles.BODY)
    ]


def test_every_font_travels_with_the_file_and_none_is_foreign():
    drawing = Drawing(100, 20, "a name", shapes=[Text(0, 10, "A0", face="serif-italic")])
    pieces = [*p("Name", styles.NAME), *p("Fact", styles.DATA), DrawingFigure(drawing, 100, "A note name")]
    found = printed(pieces).fonts
    assert all(found.values())
    assert {name.partition("+")[2].partition("-")[0] for name in found} == {"EBGaramond", "SourceSans3"}


def test_the_file_says_what_it_is():
    reader = printed(p("Words", styles.BODY)).reader
    assert reader.metadata.title == "Halden & Rook, stock 26-014"
    assert reader.metadata.author == "Castlemere Pianos"
    assert reader.metadata.subject == "An upright of about 1912"
    assert reader.metadata.creation_date.date() == date(2026, 4, 14)
    assert "3f2a 9c41 77b0 e2d1" in reader.metadata["/Keywords"]
    assert reader.trailer["/Root"]["/Lang"] == "en-GB"
    assert reader.trailer["/Root"]["/ViewerPreferences"]["/DisplayDocTitle"].value


def test_each_page_bears_shop_number_date_hash_and_its_place_among_the_pages():
    texts = printed(some_paragraphs(40)).page_texts
    assert len(texts) == 3
    for position, text in enumerate(texts, start=1):
        assert "Castlemere Pianos · stock 26-014 · 14 April 2026 · content 3f2a 9c41 77b0 e2d1" in text
        assert f"{position} of 3" in text
    assert ["continued" in text for text in texts] == [False, True, True]


def test_a_notice_stands_in_the_foot_line_of_every_page():
    texts = printed(some_paragraphs(40), replace(IMPRINT, notice="Draft, not signed")).page_texts
    assert ["Draft, not signed" in text for text in texts] == [True, True, True]


def test_the_structure_can_be_walked_in_reading_order():
    pieces = [
        *p("Title", styles.NAME, kind="H1"),
        *heading("Part"),
        *p("Words.", styles.BODY),
        *facts_grid((Fact("Made", "1912", "seen"),)),
        *money_column((MoneyLine("Price", "£2,950.00"),)),
        *numbered_clauses((Clause("Care", "Keep it dry."),)),
        QrFigure("https://castlemere.example/26-014", 60, "A code"),
    ]
    reading = printed(pieces)
    assert reading.kinds == [
        *["Document", "H1", "H2", "P"],
        *["L", "LI", "Lbl", "LBody", "P", "P"],
        *["Table", "TR", "TH", "P", "TD", "P"],
        *["L", "LI", "Lbl", "LBody", "P", "P"],
        "Figure",
    ]
    assert reading.elements[-1] == ("Figure", "A code")
    assert reading.reader.trailer["/Root"]["/MarkInfo"]["/Marked"].value


def test_every_mark_on_a_page_belongs_to_an_element():
    reader = printed(some_paragraphs(40)).reader
    numbers = reader.trailer["/Root"]["/StructTreeRoot"]["/ParentTree"]["/Nums"]
    for position, page in enumerate(reader.pages):
        owners = numbers[2 * position + 1]
        assert page["/StructParents"] == numbers[2 * position] == position
        assert page.get_contents().get_data().count(b"/MCID") == len(owners)


def test_a_paragraph_cut_by_the_page_end_stays_one_element():
    pieces = [*some_paragraphs(13), *p("Cut here. " + "baize " * 280, styles.BODY)]
    reading = printed(pieces)
    assert reading.page_count == 2
    assert reading.kinds.count("P") == 14


def test_a_heading_goes_with_what_follows_it():
    nearly_a_page = Gap(FIRST_PAGE_HEIGHT - 50)
    pieces = [nearly_a_page, *heading("Care"), *p("Keep it dry. " * 30, styles.BODY)]
    first, second = printed(pieces).page_texts
    assert "Care" not in first
    assert second.index("Care") < second.index("Keep it dry")


def test_the_foot_of_a_page_never_shows_a_single_line_of_a_paragraph():
    _, parts = pour.fill(p("felt " * 200, styles.BODY), WIDTH, styles.BODY.leading * 1.5)
    assert len(parts) == 1
    placed, _ = pour.fill(p("felt " * 200, styles.BODY), WIDTH, styles.BODY.leading * 2.5)
    assert len(placed[0].piece.frags[0].words) > 20


def test_columns_are_cut_side_by_side_and_lose_nothing():
    left = p("\n".join(f"left{number}" for number in range(90)), styles.BODY)
    right = p("\n".join(f"right{number}" for number in range(120)), styles.BODY)
    text = printed([Columns([left, right], [200, 200])]).text
    assert all(f"left{number}" in text for number in range(90))
    assert all(f"right{number}" in text for number in range(120))


def test_a_run_in_two_columns_ends_nearly_level():
    run = Newspaper(some_paragraphs(7), WIDTH, gap=20)
    _, height = run.wrap(WIDTH, 1_000)
    assert height < pour.height_of(some_paragraphs(7), run.column) / 2 + 2 * styles.BODY.leading


def test_a_run_in_two_columns_is_read_to_the_foot_of_each_page_first():
    numbers = range(200)
    words = [piece for number in numbers for piece in p(f"line{number:03d}", styles.BODY)]
    reading = printed([*p("Before.", styles.BODY), Newspaper(words, WIDTH, gap=20)])
    assert reading.page_count == 3
    assert reading.squeezed == "Before." + "".join(f"line{number:03d}" for number in numbers)


def test_what_is_kept_together_moves_on_whole():
    block = Together(p("\n".join(["line"] * 12), styles.BODY))
    first, second = printed([*some_paragraphs(12), block]).page_texts
    assert first.count("line") == 0
    assert second.count("line") == 12


def test_what_no_page_can_hold_together_flows_on():
    block = Together(p("\n".join(f"line{number}" for number in range(150)), styles.BODY))
    text = printed([block]).text
    assert all(f"line{number}" in text for number in range(150))


def test_closing_lines_stand_at_the_foot_of_the_last_page():
    closing = Together(p("Ask us.", styles.BODY), at_foot=True)
    reading = printed([*p("Words.", styles.BODY), closing])
    heights = {text: y for text, _, y, _ in reading.places(0)}
    assert heights["Words."] > 770
    assert heights["Ask us."] < 90


def test_amounts_stand_in_one_column_flush_right():
    lines = (MoneyLine("Price", "£2,950.00"), MoneyLine("Paid", "£600.00"), MoneyLine("Rest", "£9.50"))
    places = printed(money_column(lines)).places(0)
    ends = [x + fonts.width_of(text, fonts.SANS, size) for text, x, _, size in places if text[0] == "£"]
    assert ends == pytest.approx([ends[0]] * 3, abs=0.1)


def test_a_condition_table_names_its_columns():
    lines = (ConditionLine("Strings", "Sound"), ConditionLine("Case", "Attend", "two chips"))
    reading = printed(condition_table(lines))
    assert reading.kinds.count("TH") == 3
    assert reading.kinds.count("TD") == 6


def test_signature_lines_have_room_to_sign():
    reading = printed([WritingLines(("Signature", "Date"), 200)])
    heights = {text: y for text, _, y, _ in reading.places(0)}
    assert heights["Signature"] - heights["Date"] == pytest.approx(27)


def test_a_character_no_font_has_is_marked_and_the_foot_line_says_so():
    reading = printed(p("Maker 中", styles.BODY))
    assert f"Maker {MARK}" in reading.text
    assert f"{MARK} stands for a character our fonts lack" in reading.text


def test_the_same_paper_printed_twice_is_the_same_file():
    with ThreadPoolExecutor(4) as threads:
        files = list(threads.map(lambda _: print_sheet(some_paragraphs(30), IMPRINT), range(8)))
    assert len(set(files)) == 1


@pytest.mark.parametrize("text", HOSTILE_TEXTS, ids=range(len(HOSTILE_TEXTS)))
def test_hostile_words_in_the_imprint_do_no_harm(text):
    words = ("title", "subject", "shop_name", "number", "running_head", "notice")
    pieces = [*p("Front", styles.BODY), pour.NewPage(), *p("Back", styles.BODY)]
    reading = printed(pieces, replace(IMPRINT, **dict.fromkeys(words, text)))
    assert (reading.page_count, reading.annotation_count, reading.picture_count) == (2, 0, 0)
    assert "\u25a0" not in reading.text
