"""The stock on a few sheets: what visitors read, what we read, and what neither does."""

from dataclasses import replace
from datetime import date

import pytest

from instruments.documents import fonts
from instruments.documents.content import Fact, Party, Photo
from instruments.documents.text import printable
from shop.actions.listing import draft_listing
from shop.documents.overview import Entry, Overview, build_overview
from tests import make
from tests.drawn import jpeg
from tests.hostile import HOSTILE_TEXTS
from tests.reading import Reading, squeeze

ENTRY = Entry(
    stock_number="26-014",
    maker="Halden & Rook",
    sentence="An overstrung upright.",
    price="£2,950",
    state="In the window",
    facts=(Fact("Made", "About 1912", "from a date mark inside"), Fact("Height", "122 cm")),
    photo=Photo(jpeg(400, 300), alt="The piano"),
)
PAPER = Overview(
    Party("Castlemere Pianos"), "Pianos to see and try", "Today.", date(2026, 4, 14), (ENTRY,) * 7
)


def test_several_instruments_stand_on_a_page_and_none_is_parted():
    reading = Reading(build_overview(PAPER))
    assert reading.page_count == 2
    assert reading.page_texts[0].count("Halden & Rook") >= 5
    assert sum(text.count("£2,950") for text in reading.page_texts) == 7
    assert reading.kinds.count("H1") == 1 and reading.kinds.count("H2") == 7
    assert all(reading.fonts.values())
    assert build_overview(PAPER) == reading.pdf


def test_what_is_ours_says_at_its_foot_that_it_is():
    assert "For us, not to be handed out" in Reading(build_overview(replace(PAPER, is_ours=True))).text


@pytest.mark.parametrize("text", HOSTILE_TEXTS, ids=range(len(HOSTILE_TEXTS)))
def test_the_overview_prints_hostile_words_as_they_are(text):
    places = {
        name: f"({n}{text})" for n, name in enumerate(["stock_number", "maker", "sentence", "price", "state"])
    }
    entry = replace(ENTRY, **places, facts=(Fact(f"(5{text})", f"(6{text})", f"(7{text})"),))
    reading = Reading(build_overview(replace(PAPER, entries=(entry,))))
    assert (reading.picture_count, reading.annotation_count) == (1, 0)
    for number in range(8):
        for line in f"({number}{text})".splitlines():
            faces = {squeeze(printable(line, font)) for font in fonts.FILES}
            assert any(words in reading.squeezed for words in faces), (number, line)


@pytest.fixture
def stock(db):
    listed, other = (
        make.make_instrument(),
        make.make_instrument(maker="Dornstrand", place_note="By the stairs"),
    )
    for each in (listed, other):
        make.make_price(instrument=each)
        make.make_purchase(
            instrument=each, price_minor=123_456, seller=make.make_person(name=f"Canary {each.pk}")
        )
    make.make_photo(instrument=listed)
    make.put_in_window(draft_listing(instrument=listed, by=make.somebody()))
    return listed, other


def overview(client, **asked) -> str:
    return Reading(client.get("/stock/overview.pdf", asked).content).text


def test_visitors_read_only_what_stands_in_the_window(client, owner, stock):
    client.force_login(owner)
    text = overview(client, costs="on")
    assert "Halden & Rook" in text and "£1,800" in text
    for words in ("Dornstrand", "By the stairs", "Where", "Canary", "1,234.56"):
        assert words not in text


def test_we_read_where_each_stands_and_costs_only_by_a_tick(client, owner, stock):
    client.force_login(owner)
    text = overview(client, **{"for": "us"})
    assert "Dornstrand" in text and "By the stairs" in text and "not measured" in text
    assert "1,234.56" not in text and "Canary" not in text
    assert "Paid £1,234.56" in overview(client, **{"for": "us", "costs": "on"})


def test_the_tick_gives_no_cost_to_those_who_may_not_see_it(client, seller, stock):
    client.force_login(seller)
    assert "1,234.56" not in overview(client, **{"for": "us", "costs": "on"})


def test_those_ticked_are_printed_and_no_others(client, seller, stock):
    client.force_login(seller)
    assert "Halden" not in overview(client, **{"for": "us", "of": stock[1].stock_number})


def test_a_list_with_nothing_in_the_window_is_a_sentence(client, seller, stock):
    client.force_login(seller)
    page = client.get("/stock/overview.pdf", {"of": stock[1].stock_number}, follow=True)
    assert "Nothing of that list is in the window." in page.content.decode()
