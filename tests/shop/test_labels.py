from dataclasses import replace
from datetime import date

import pytest

from instruments.documents import fonts
from instruments.documents.label_sheets import SHEETS
from instruments.documents.text import printable
from shop.actions.listing import draft_listing
from shop.documents.labels import Label, LabelPaper, build_labels
from tests import make
from tests.hostile import HOSTILE_TEXTS
from tests.paper_codes import codes_on
from tests.reading import Reading, squeeze

MM = 72 / 25.4
ONE = Label("26-014", "Halden & Rook", "31 447", "https://castlemere.example/window/halden-rook-26-014/")
PAPER = LabelPaper("Castlemere Pianos", (ONE,), date(2026, 4, 14))


def printed(**changes) -> Reading:
    return Reading(build_labels(replace(PAPER, **changes)))


def many(count: int) -> tuple[Label, ...]:
    return tuple(replace(ONE, stock_number=f"26-{n:03d}", address=f"{ONE.address}{n}") for n in range(count))


@pytest.mark.parametrize("sheet", SHEETS)
def test_a_label_says_what_it_is_and_its_code_is_read(sheet):
    reading = printed(sheet=sheet)
    for words in ("26-014", "Halden & Rook", "Serial 31 447", "Castlemere Pianos"):
        assert words in reading.text
    assert codes_on(reading.pdf) == [ONE.address]


def test_every_code_of_a_full_sheet_is_read_and_none_is_another():
    reading = printed(labels=many(22))
    assert reading.page_count == 2
    assert codes_on(reading.pdf) == [label.address for label in many(22)[:21]]
    assert codes_on(reading.pdf, 1) == [f"{ONE.address}21"]


@pytest.mark.parametrize(("sheet", "first"), [("21", 1), ("21", 12), ("21", 21), ("8", 1), ("8", 8)])
def test_a_label_keeps_inside_its_place_and_off_the_papers_edge(sheet, first):
    left, top = SHEETS[sheet].corner_mm(first - 1)
    for _, x, y, _ in printed(sheet=sheet, first=first).places(0):
        assert left + 3.9 < x / MM < left + SHEETS[sheet].wide_mm - 4
        assert top + 3.9 < 297 - y / MM < top + SHEETS[sheet].tall_mm - 3.9
        assert 5 < x / MM < 205 and 5 < y / MM < 292


def test_a_sheet_that_prints_beside_its_labels_is_moved():
    there, moved = (printed(**change).places(0)[0] for change in ({}, {"right_mm": 2, "down_mm": -1}))
    assert (round((moved[1] - there[1]) / MM, 2), round((moved[2] - there[2]) / MM, 2)) == (2, 1)


def test_labels_hold_our_own_fonts_and_name_themselves():
    reading = printed(labels=many(3))
    assert reading.fonts and all(reading.fonts.values())
    told = reading.reader.metadata
    assert (told.title, told.author) == ("Labels for 3 instruments", "Castlemere Pianos")
    assert told.subject == "21 on a sheet, 63.5 × 38.1 mm"
    assert reading.kinds.count("LI") == 3 and reading.kinds.count("Figure") == 3
    assert build_labels(PAPER) == build_labels(replace(PAPER))


def test_an_address_too_long_for_squares_that_print_leaves_the_words_alone():
    reading = printed(labels=(replace(ONE, address="https://castlemere.example/" + "x" * 600),))
    assert codes_on(reading.pdf) == [] and "26-014" in reading.text


@pytest.mark.parametrize("text", HOSTILE_TEXTS, ids=range(len(HOSTILE_TEXTS)))
def test_a_label_prints_hostile_words_as_they_are(text):
    """On one line, and as far as a label has room: the rest is an ellipsis, and in the record."""
    reading = printed(labels=(Label("26-1", f"(1{text}", f"(2{text}", ONE.address),), shop_name=f"(3{text}")
    assert (reading.page_count, reading.picture_count, reading.annotation_count) == (1, 0, 0)
    found = squeeze(reading.text)
    for number in (1, 2, 3):
        line = " ".join(f"({number}{text}".split())[:38]
        assert any(squeeze(printable(line, font)) in found for font in fonts.FILES), (number, line)


@pytest.fixture
def stock(db):
    listed, other = (
        make.make_instrument(serial="31447"),
        make.make_instrument(maker="Dornstrand", kind="grand"),
    )
    make.make_price(instrument=listed)
    make.make_photo(instrument=listed)
    return make.put_in_window(draft_listing(instrument=listed, by=make.somebody())), other


def sheet_of(client, **asked):
    return client.get("/labels/", {"sheet": "21", "first": 1} | asked)


def test_the_code_leads_to_the_window_while_it_is_there_and_else_behind_the_login(client, technician, stock):
    listing, other = stock
    client.force_login(technician)
    answer = sheet_of(client, of=[listing.instrument.stock_number, other.stock_number])
    assert answer["Content-Type"] == "application/pdf"
    assert codes_on(answer.content) == [
        f"http://testserver/window/{listing.slug}/",
        f"http://testserver/stock/{other.stock_number}/",
    ]


def test_without_a_tick_the_labels_are_for_the_list_as_it_is_filtered(client, technician, stock):
    client.force_login(technician)
    page = client.get("/labels/", {"kind": "grand"})
    assert [each.maker for each in page.context["chosen"]] == ["Dornstrand"]


@pytest.mark.parametrize(
    ("asked", "sentence"),
    [
        ({"first": 22}, "That sheet has 21 labels, and no number 22."),
        ({"first": 0}, "Labels count from 1."),
        ({"first": "soon"}, "Give the number of a label, such as 1."),
        ({"right_mm": 6}, "A sheet is moved by 5 mm at most."),
    ],
)
def test_a_place_or_a_move_that_cannot_be_is_refused_beside_its_field(
    client, technician, stock, asked, sentence
):
    client.force_login(technician)
    page = sheet_of(client, of=stock[1].stock_number, **asked).content.decode()
    assert sentence in page and "Print 1 label<" in page.replace("\n", "")


def test_nobody_chosen_is_a_sentence(client, technician, db):
    client.force_login(technician)
    assert "No instrument is chosen." in sheet_of(client, of="99-999").content.decode()
