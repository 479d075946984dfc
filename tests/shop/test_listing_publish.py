import pytest

from instruments.problems import Blocked
from shop.actions.listing import draft_listing, publish_listing
from shop.actions.money import record_clearance
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
