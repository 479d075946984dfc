from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from instruments.documents import fonts
from instruments.documents.text import printable
from shop.actions.listing import draft_listing
from shop.documents.window_card import WindowCard, build_window_card
from tests import make
from tests.hostile import HOSTILE_TEXTS
from tests.paper_codes import codes_on
from tests.reading import Reading, squeeze

CARD = WindowCard(
    shop_name="Castlemere Pianos",
    telephone="01632 960 114",
    maker="Halden & Rook",
    what="Overstrung upright, 122 cm tall",
    made="About 1912",
    made_basis="from a date mark inside",
    facts=("All 85 keys within 2 g of the touch aimed at", "Full iron frame", "85 keys, A0 to A7"),
    price="£2,950",
    stock_number="26-014",
    printed_on=date(2026, 4, 14),
    public_address="https://castlemere.example/window/halden-rook-26-014/",
)
# Least sizes of the small letters of which fill five minutes of arc at two metres (Snellen): 2.9 mm.
READABLE = {"sans": 2.9 / 25.4 * 72 / 0.486, "serif": 2.9 / 25.4 * 72 / 0.400}


def printed(**changes) -> Reading:
    return Reading(build_window_card(replace(CARD, **changes)))


@pytest.fixture(scope="module")
def card() -> Reading:
    return printed()


@pytest.mark.parametrize(
    "words",
    [
        CARD.maker,
        CARD.what,
        CARD.made,
        CARD.made_basis,
        *CARD.facts,
        CARD.price,
        "Castlemere Pianos",
        "01632 960 114",
        "stock 26-014 · 14 April 2026",
    ],
)
def test_window_card_says(card, words):
    assert words in card.text


def test_window_card_is_one_a5_page_in_our_own_fonts(card):
    box = card.reader.pages[0].mediabox
    assert (round(box.width / 72 * 25.4), round(box.height / 72 * 25.4)) == (148, 210)
    assert card.page_count == 1
    assert card.fonts and all(card.fonts.values())
    assert not [name for name in card.fonts if "Helvetica" in name]


def test_window_card_names_itself_for_programs_and_readers_aloud(card):
    told = card.reader.metadata
    assert (told.title, told.author) == (
        "Halden & Rook, stock 26-014: card for the window",
        "Castlemere Pianos",
    )
    assert told.subject == CARD.what
    assert card.reader.trailer["/Root"]["/Lang"] == "en-GB"
    assert card.kinds.count("H1") == 1 and card.kinds.count("LI") == 3


def test_window_card_can_be_read_from_two_metres(card):
    for words, _, height, size in card.places(0):
        if height > 45:  # the line at the foot is for those who stand before it
            assert size >= READABLE["serif" if words in {CARD.maker, CARD.what, CARD.price} else "sans"], (
                words
            )


def test_window_card_keeps_eleven_millimetres_of_its_edge_bare(card):
    edge = 11 / 25.4 * 72
    assert all(left >= edge - 1 and low >= edge - 1 for _, left, low, _ in card.places(0))


def test_window_card_leads_a_telephone_to_the_public_page(card):
    assert codes_on(card.pdf) == [CARD.public_address]


def test_window_card_without_an_address_says_whom_to_ask():
    reading = printed(public_address="")
    assert codes_on(reading.pdf) == []
    assert "ask us" in reading.text


def test_window_card_is_the_same_file_when_printed_again():
    assert build_window_card(CARD) == build_window_card(replace(CARD))


@pytest.mark.parametrize("text", HOSTILE_TEXTS, ids=range(len(HOSTILE_TEXTS)))
def test_window_card_prints_hostile_words_as_they_are_on_one_page(text):
    places = {
        name: f"({number}{text})" for number, name in enumerate(["maker", "what", "made", "made_basis"])
    }
    reading = printed(**places, facts=(f"(4{text})",), price=f"(5{text})", shop_name=f"(6{text})")
    assert (reading.page_count, reading.picture_count, reading.annotation_count) == (1, 0, 0)
    found = squeeze(reading.text)
    for number in range(7):
        for line in f"({number}{text})".splitlines():
            faces = {squeeze(printable(line, font)) for font in fonts.FILES}
            assert any(words in found for words in faces), (number, line)


@pytest.fixture
def listed(db):
    instrument = make.make_instrument(
        made="1912~", made_basis="mark", made_basis_note="pencilled on key 1", height_cm=Decimal("122.0")
    )
    make.make_price(instrument=instrument)
    make.make_photo(instrument=instrument)
    make.make_purchase(instrument=instrument, seller=make.make_person(name="Canary Seller"))
    make.make_statement(instrument=instrument, text="Canary Seller kept it dry", grade="seen", is_public=True)
    make.make_statement(instrument=instrument, text="No moth in the felts", grade="seen", is_public=True)
    return make.put_in_window(draft_listing(instrument=instrument, by=make.somebody()))


def test_the_card_is_made_of_the_record(client, seller, listed):
    client.force_login(seller)
    answer = client.get(f"/stock/{listed.instrument.stock_number}/window-card.pdf")
    reading = Reading(answer.content)
    assert answer["Content-Disposition"].endswith('-window-card.pdf"')
    for words in ("Halden & Rook", "Upright, 122 cm tall", "About 1912", "from a date mark inside"):
        assert words in reading.text
    assert "No moth in the felts" in reading.text and "£1,800" in reading.text
    assert "Canary" not in reading.text
    assert codes_on(reading.pdf) == [f"http://testserver/window/{listed.slug}/"]


def test_no_card_is_printed_while_something_blocks_offering_it(client, seller, listed):
    make.make_item(order=make.make_order(instrument=listed.instrument))
    client.force_login(seller)
    page = client.get(f"/stock/{listed.instrument.stock_number}/window-card.pdf", follow=True)
    assert "No card is printed while something blocks offering it." in page.content.decode()
