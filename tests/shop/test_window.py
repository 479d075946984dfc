"""What a stranger sees, and what nobody outside may."""

from datetime import timedelta
from decimal import Decimal

import pytest

from instruments.actions.evidence import add_evidence
from instruments.actions.findings import record_finding
from shop.actions.listing import draft_listing, edit_listing, withdraw_listing
from shop.actions.promises import place_hold, release_hold
from tests import make
from tests.make_sale import make_sale

pytestmark = pytest.mark.django_db


@pytest.fixture
def listing(db):
    instrument = make.make_instrument(
        serial="31447", made="1912~", made_basis="serial", height_cm=Decimal(122)
    )
    make.make_price(instrument=instrument)
    make.make_photo(instrument=instrument)
    make.make_photo(instrument=instrument, is_public=False, colour="navy")
    make.make_purchase(instrument=instrument, seller=make.make_person(name="Canary Seller"))
    make.make_statement(instrument=instrument, text="Played every evening", is_public=True)
    make.make_statement(instrument=instrument, text="Bought out of debt", is_public=False)
    return make.put_in_window(draft_listing(instrument=instrument, by=make.somebody()))


def page_of(client, url) -> str:
    return client.get(url).content.decode()


def test_the_window_shows_what_is_in_it_with_its_price(stranger, listing):
    page = page_of(stranger, "/window/")
    assert "Halden &amp; Rook" in page
    assert "£1,800" in page


def test_an_empty_window_says_so(stranger, db):
    assert "The window is empty today." in page_of(stranger, "/window/")


def test_a_fact_stands_with_its_basis(stranger, listing):
    page = page_of(stranger, listing.get_absolute_url())
    assert "About 1912" in page
    assert "from the serial number" in page


def test_what_was_told_prints_as_told(stranger, listing):
    page = page_of(stranger, listing.get_absolute_url())
    assert "We were told: Played every evening. We have seen no paper." in page


def test_private_statements_and_the_seller_stay_private(stranger, listing):
    page = page_of(stranger, listing.get_absolute_url())
    assert "Bought out of debt" not in page
    assert "Canary Seller" not in page


def test_only_public_photos_are_served_and_only_made_ones(stranger, listing):
    shown, kept = listing.instrument.photos.order_by("id")
    url = f"{listing.get_absolute_url()}photo"
    assert stranger.get(f"{url}/{shown.pk}/page/").status_code == 200
    assert stranger.get(f"{url}/{kept.pk}/page/").status_code == 404
    assert stranger.get(f"{url}/{shown.pk}/original/").status_code == 404


def test_a_listing_that_left_the_window_leaves_a_short_page(stranger, listing):
    withdraw_listing(listing=listing, by=make.somebody())
    answer = stranger.get(listing.get_absolute_url())
    assert answer.status_code == 404  # it may come back
    assert "No longer in the window" in answer.content.decode()


def test_a_promised_piano_leaves_the_window_by_itself_and_returns_with_the_end_of_the_promise(
    stranger, listing
):
    hold = place_hold(
        instrument=listing.instrument,
        person=make.make_person(),
        until=make.A_DAY + timedelta(days=7),
        by=make.somebody(),
        on=make.A_DAY,
    )
    assert stranger.get(listing.get_absolute_url()).status_code == 404
    assert "Halden" not in page_of(stranger, "/window/")
    assert listing.slug not in page_of(stranger, "/sitemap.xml")
    release_hold(promise=hold, by=make.somebody(), on=make.A_DAY)
    assert stranger.get(listing.get_absolute_url()).status_code == 200


def test_a_sold_piano_leaves_a_page_that_says_so_and_shows_others_like_it(stranger, listing):
    other = make.make_instrument(serial="2", maker="Castlemere")
    make.make_price(instrument=other)
    make.make_photo(instrument=other, colour="navy")
    make.put_in_window(draft_listing(instrument=other, by=make.somebody()))
    make_sale(instrument=listing.instrument)
    answer = stranger.get(listing.get_absolute_url())
    words = answer.content.decode()
    assert answer.status_code == 410  # it will not come back
    assert "has found its home" in words and "Castlemere" in words
    assert "£1,800" not in words.partition("Others like it")[0]


def test_a_promised_instrument_shows_no_photo_any_more(stranger, listing):
    photo = listing.instrument.photos.public().get()
    make.make_running_trial(instrument=listing.instrument)
    assert stranger.get(f"{listing.get_absolute_url()}photo/{photo.pk}/page/").status_code == 404


def test_a_draft_is_nobodys_to_see(stranger, db):
    instrument = make.make_instrument()
    draft = draft_listing(instrument=instrument, by=make.somebody())
    assert stranger.get(draft.get_absolute_url()).status_code == 404


def test_markup_in_the_words_prints_as_text(stranger, listing):
    edit_listing(listing=listing, by=make.somebody(), body="<script>alert(1)</script>")
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in page_of(stranger, listing.get_absolute_url())


def test_the_window_asks_the_database_no_more_for_three_than_for_one(
    stranger, listing, django_assert_num_queries
):
    stranger.get("/window/")
    with django_assert_num_queries(6):
        stranger.get("/window/")
    for colour in ("red", "green"):
        instrument = make.make_instrument(serial=colour)
        make.make_price(instrument=instrument)
        make.make_photo(instrument=instrument, colour=colour)
        make.put_in_window(draft_listing(instrument=instrument, by=make.somebody()))
    with django_assert_num_queries(6):
        stranger.get("/window/")


def test_a_claim_contradicted_after_publishing_is_told_no_more(stranger, listing):
    statement = listing.instrument.statements.get(text="Played every evening")
    add_evidence(
        statement=statement, side="against", strength="strong", note="untouched felts", by=make.somebody()
    )
    page = page_of(stranger, listing.get_absolute_url())
    assert "Played every evening" not in page
    assert "What is only told is printed as told" in page


def test_without_an_examination_no_word_is_said_of_faults(stranger, listing):
    edit_listing(listing=listing, by=make.somebody(), not_done="", faults="")
    words = page_of(stranger, listing.get_absolute_url())
    assert "Its condition has not been examined." in words and "No fault" not in words


def test_where_all_was_sound_the_page_says_only_what_was_examined(stranger, listing, technician):
    edit_listing(listing=listing, by=make.somebody(), not_done="", faults="")
    record_finding(
        instrument=listing.instrument, part="case", condition="sound", by=technician, on=make.A_DAY
    )
    assert (
        "No fault was found in what we examined." in stranger.get(listing.get_absolute_url()).content.decode()
    )


def test_a_page_that_left_the_window_is_asked_for_again(stranger, listing):
    withdraw_listing(listing=listing, by=make.somebody())
    gone = stranger.get(listing.get_absolute_url())
    assert (gone.status_code, gone["Cache-Control"]) == (404, "no-cache")
