from uuid import uuid4

import pytest

from instruments.problems import Blocked
from shop.actions.clearances import record_clearance
from shop.actions.listing import draft_listing, edit_listing, publish_listing
from shop.actions.sales import sell
from shop.fingerprints import fingerprint
from shop.models import Listing, Publication
from shop.problems import listing_problems
from shop.states import ListingState
from tests import make

pytestmark = pytest.mark.django_db


@pytest.fixture
def instrument(db):
    """An instrument that nothing stands against."""
    ready = make.make_instrument(serial="31447")
    make.make_price(instrument=ready)
    make.make_photo(instrument=ready)
    return ready


def sentences(instrument) -> list[str]:
    return [problem.sentence for problem in listing_problems(instrument) if problem.is_blocker]


def test_nothing_blocks_an_instrument_with_price_photo_and_no_open_work(instrument):
    assert sentences(instrument) == []


def test_no_price_blocks():
    bare = make.make_instrument()
    make.make_photo(instrument=bare)
    assert sentences(bare) == ["No asking price is set."]


def test_no_public_photo_blocks(instrument):
    instrument.photos.update(is_public=False)
    assert sentences(instrument) == ["No photograph is marked as one the public may see."]


def test_open_required_work_blocks_and_names_it(instrument):
    make.make_item(order=make.make_order(instrument=instrument), name="Ease the keys")
    assert sentences(instrument) == ["Required work is still open: Ease the keys."]


def test_work_that_is_not_required_does_not_block(instrument):
    make.make_item(order=make.make_order(instrument=instrument), is_required=False)
    assert sentences(instrument) == []


@pytest.mark.parametrize("covering", ["ivory", "unknown"])
def test_ivory_and_what_is_not_settled_block_until_cleared(instrument, covering):
    instrument.natural_covering = covering
    instrument.save()
    assert "no registration or clearance is on file" in sentences(instrument)[0]
    record_clearance(
        instrument=instrument, by=make.somebody(), found="two-piece heads", how="lamp", reference="QX-1"
    )
    assert sentences(instrument) == []


def test_a_promise_blocks(instrument):
    make.make_running_trial(instrument=instrument)
    assert sentences(instrument)[0].startswith("Halden & Rook 26-001 is out on home trial until 2 May 2026.")


def test_publishing_keeps_what_was_shown_word_for_word(instrument):
    listing = draft_listing(instrument=instrument, by=make.somebody())
    publication = publish_listing(listing=listing, by=make.somebody())
    assert publication.words["headline"] == "Halden & Rook upright"
    assert publication.words["price_minor"] == 180_000
    assert publication.sha256 == fingerprint(publication.words)


def test_publishing_is_refused_with_the_reasons(instrument):
    make.make_item(order=make.make_order(instrument=instrument), name="Ease the keys")
    listing = draft_listing(instrument=instrument, by=make.somebody())
    with pytest.raises(Blocked, match="Required work is still open: Ease the keys"):
        publish_listing(listing=listing, by=make.somebody())
    listing = Listing.objects.get()
    assert (listing.state, Publication.objects.count()) == (ListingState.DRAFT, 0)


def test_a_listing_leaves_the_window_by_itself_when_the_instrument_is_promised(instrument):
    listing = draft_listing(instrument=instrument, by=make.somebody())
    publish_listing(listing=listing, by=make.somebody())
    assert Listing.objects.in_window().count() == 1
    make.make_running_trial(instrument=instrument)
    assert Listing.objects.in_window().count() == 0


def test_drafting_again_keeps_the_earlier_words_in_the_record(instrument):
    listing = draft_listing(instrument=instrument, by=make.somebody())
    listing.body = "Our own words."
    listing.save()
    draft_listing(instrument=instrument, by=make.somebody())
    assert "Our own words." in listing.history.values_list("body", flat=True)


@pytest.fixture
def listing(instrument):
    return draft_listing(instrument=instrument, by=make.somebody())


def sell_it(instrument):
    sell(
        instrument=instrument,
        person=make.make_person(),
        price_minor=180_000,
        by=make.somebody(),
        on=make.A_DAY,
    )


def test_words_edited_while_it_was_sold_do_not_put_it_back_into_the_window(instrument, listing):
    make.put_in_window(listing)
    read_before = Listing.objects.get()
    sell_it(instrument)
    edit_listing(listing=read_before, headline="As good as new", by=make.somebody())
    assert (Listing.objects.get().state, Listing.objects.get().headline) == ("withdrawn", "As good as new")


def test_listing_published_meanwhile_leaves_the_window_with_the_sale(instrument, listing):
    assert instrument.listing.state == ListingState.DRAFT
    make.put_in_window(listing)
    sell_it(instrument)
    assert Listing.objects.get().state == ListingState.WITHDRAWN


def test_publishing_keeps_words_that_somebody_else_saved_meanwhile(listing):
    read_before = Listing.objects.get()
    edit_listing(listing=listing, headline="Said better", by=make.somebody())
    assert publish_listing(listing=read_before, by=make.somebody()).words["headline"] == "Said better"


def test_two_instruments_of_a_maker_with_a_very_long_name_have_addresses_of_their_own():
    slugs = [
        draft_listing(instrument=make.make_instrument(maker="Halden " * 17), by=make.somebody()).slug
        for _ in range(2)
    ]
    assert len(set(slugs)) == 2
    assert all(len(slug) <= 80 for slug in slugs)


CLEARANCES = {
    "none in it": {"no_protected_material": True},
    "a reference": {"reference": "QX-1"},
}


def clear(instrument, clearance: dict) -> None:
    record_clearance(instrument=instrument, by=make.somebody(), found="key tops", how="by lamp", **clearance)


def test_ivory_in_the_identity_is_not_cleared_by_saying_that_there_is_none(instrument):
    instrument.sharp_covering = "ivory"
    instrument.save()
    clear(instrument, CLEARANCES["none in it"])
    assert "the clearance on file says that there is none" in sentences(instrument)[0]
    clear(instrument, CLEARANCES["a reference"])
    assert sentences(instrument) == []


def test_clearance_form_refuses_what_the_identity_contradicts(client, seller):
    client.force_login(seller)
    ivory = make.make_instrument(natural_covering="ivory")
    found = {"found": "grain", "how": "by lamp", "no_protected_material": "on"}
    page = client.post(f"/stock/{ivory.stock_number}/clearance/", {"form_token": uuid4().hex} | found)
    (refusal,) = page.context["form"].errors["no_protected_material"]
    assert "Correct the identity first" in refusal
    assert not ivory.clearances.exists()
