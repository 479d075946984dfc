import re
from io import BytesIO
from uuid import uuid4

import pytest
from pypdf import PdfReader

from shop.actions.listing import draft_listing, edit_listing
from shop.models import Listing
from shop.showing import public_facts
from tests import make
from tests.reading import Reading

pytestmark = pytest.mark.django_db


@pytest.fixture
def desk(client, seller):
    client.force_login(seller)
    return client


@pytest.fixture
def instrument(db):
    ready = make.make_instrument(serial="31447", made="1912~", made_basis="mark")
    make.make_price(instrument=ready)
    make.make_photo(instrument=ready)
    return ready


def at(instrument, rest: str = "") -> str:
    return f"/stock/{instrument.stock_number}/listing/{rest}"


def test_a_listing_is_drafted_edited_and_published(desk, instrument):
    desk.post(at(instrument, "draft/"))
    fields = {"headline": "A quiet upright", "body": "Plain.", "work_done": "", "not_done": "", "faults": ""}
    desk.post(at(instrument), fields | {"history_words": ""})
    page = desk.post(at(instrument, "publish/"), follow=True).content.decode()
    assert "It is in the window." in page
    assert Listing.objects.in_window().get().headline == "A quiet upright"


def test_publishing_is_refused_with_the_reason_on_the_page(desk, instrument):
    make.make_item(order=make.make_order(instrument=instrument), name="Ease the keys")
    desk.post(at(instrument, "draft/"))
    page = desk.post(at(instrument, "publish/"), follow=True).content.decode()
    assert "Not published. Required work is still open: Ease the keys." in page


def test_the_button_is_disabled_while_something_blocks(desk, instrument):
    draft_listing(instrument=instrument, by=make.somebody())
    make.make_item(order=make.make_order(instrument=instrument))
    assert re.search(r'type="submit"[^>]* disabled>Publish', desk.get(at(instrument)).content.decode())


def test_every_drafted_sentence_stands_beside_its_source(desk, instrument):
    page = desk.get(at(instrument)).content.decode()
    assert f'<dt><a href="{instrument.get_absolute_url()}#identity">Date and its basis</a></dt>' in page
    assert "Made about 1912 (from a date mark inside)." in page


def test_an_empty_headline_is_refused_and_the_rest_is_kept(desk, instrument):
    draft_listing(instrument=instrument, by=make.somebody())
    page = desk.post(at(instrument), {"headline": "", "body": "Words worth keeping"})
    assert page.context["form"].errors["headline"] == ["This field is required."]
    assert "Words worth keeping" in page.content.decode()


def test_the_sale_sheet_carries_the_facts_with_their_basis(desk, instrument):
    draft_listing(instrument=instrument, by=make.somebody())
    answer = desk.get(f"/stock/{instrument.stock_number}/sale-sheet.pdf")
    text = " ".join(PdfReader(BytesIO(answer.content)).pages[0].extract_text().split())
    assert answer["Content-Type"] == "application/pdf"
    assert "from a date mark inside" in text
    assert "£1,800" in text


def test_the_sale_sheet_dates_what_was_done_and_says_what_was_not_examined(desk, instrument):
    words = {"work_done": "Hammers shaped: by hand (2 April 2026).", "not_done": "Not examined: bridges."}
    drafted = draft_listing(instrument=instrument, by=make.somebody())
    edit_listing(listing=drafted, by=make.somebody(), **words)
    text = Reading(desk.get(f"/stock/{instrument.stock_number}/sale-sheet.pdf").content).text
    assert "Hammers shaped: by hand. 2 April 2026" in text
    assert "Not examined – Bridges." in text


def test_no_sheet_is_printed_while_something_blocks(desk, instrument):
    draft_listing(instrument=instrument, by=make.somebody())
    make.make_item(order=make.make_order(instrument=instrument))
    answer = desk.get(f"/stock/{instrument.stock_number}/sale-sheet.pdf", follow=True)
    assert "No sheet is printed" in answer.content.decode()


def test_a_price_is_set_and_the_earlier_one_stays(desk, instrument):
    desk.post(
        f"/stock/{instrument.stock_number}/price/",
        {"amount_minor": "2,100", "reason": "after the touch", "form_token": uuid4().hex},
    )
    assert [price.amount_minor for price in instrument.asking_prices.all()] == [210_000, 180_000]


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [("0", "A price must be more than nothing."), ("-5", "An amount cannot be negative.")],
)
def test_a_price_that_cannot_be_is_refused(desk, instrument, typed, sentence):
    page = desk.post(f"/stock/{instrument.stock_number}/price/", {"amount_minor": typed})
    assert page.context["form"].errors["amount_minor"] == [sentence]


def test_a_sentence_of_their_own_is_cautioned_on_the_page(desk, instrument, seller):
    listing = draft_listing(instrument=instrument, by=seller)
    edit_listing(listing=listing, by=seller, history_words="Owned by one family since new.")
    assert "no record says “Owned by one family since new”" in desk.get(at(instrument)).content.decode()


def test_many_sentences_of_their_own_make_one_caution(desk, instrument, seller):
    listing = draft_listing(instrument=instrument, by=seller)
    edit_listing(listing=listing, by=seller, history_words="One. Two is here. Three too. Four.")
    page = desk.get(at(instrument)).content.decode()
    assert page.count("no record says") == 1 and "“Two is here” and 2 more" in page


def test_a_draft_from_the_record_is_not_cautioned(desk, instrument, seller):
    make.make_statement(instrument=instrument, by=seller)
    draft_listing(instrument=instrument, by=seller)
    assert "no record says" not in desk.get(at(instrument)).content.decode()


def test_the_basis_of_the_compass_does_not_say_the_count_again(instrument):
    (compass,) = [fact for fact in public_facts(instrument) if fact.label == "Compass"]
    assert compass.value == "85 keys"
    assert compass.basis == "A0 to A7; the top three notes were not made"


def words_of(listing, **changed) -> dict:
    names = ("headline", "body", "history_words", "work_done", "not_done", "faults")
    return {name: getattr(listing, name) for name in names} | changed


def test_publishing_saves_what_was_typed_first(desk, instrument, seller):
    listing = draft_listing(instrument=instrument, by=seller)
    desk.post(at(instrument, "publish/"), words_of(listing, faults="One key sticks."))
    listing.refresh_from_db()
    assert (listing.faults, listing.state) == ("One key sticks.", "published")


def test_publishing_with_a_field_that_is_wrong_changes_nothing_and_keeps_the_words(desk, instrument, seller):
    listing = draft_listing(instrument=instrument, by=seller)
    page = desk.post(at(instrument, "publish/"), words_of(listing, headline="", faults="One key sticks."))
    listing.refresh_from_db()
    assert "One key sticks." in page.content.decode() and "required" in page.content.decode()
    assert (listing.faults, listing.state) == ("", "draft")


def test_a_refused_publication_keeps_the_words(desk, seller):
    bare = make.make_instrument()
    listing = draft_listing(instrument=bare, by=seller)
    page = desk.post(at(bare, "publish/"), words_of(listing, faults="One key sticks."), follow=True)
    listing.refresh_from_db()
    assert (listing.faults, listing.state) == ("One key sticks.", "draft")
    assert "The words are saved. Not published." in page.content.decode()


def test_drafting_again_asks_about_a_fault_that_no_record_holds(desk, instrument, seller):
    listing = draft_listing(instrument=instrument, by=seller)
    edit_listing(listing=listing, by=seller, faults="A scratch on the left cheek.")
    page = desk.get(at(instrument)).content.decode()
    assert "No record says “A scratch on the left cheek.”, so it goes from what buyers are told." in page
