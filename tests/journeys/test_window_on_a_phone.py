"""The window in the hand of a stranger: found without script, never wider than the screen, never jumping."""

import pytest

from instruments.models import Instrument
from shop.actions.listing import draft_listing
from shop.models import Listing, ShopProfile
from tests import make
from tests.journeys.seen_pages import NARROW, faults_of

pytestmark = pytest.mark.django_db(transaction=True)
WIDE_WORDS = ("W" * 160, "ש" * 90 + "\u202e" + "abc" * 30, "🎹" * 80, "{{ x }}{% load y %}<b>" * 8)
SIDEWAYS = "document.scrollingElement.scrollWidth > document.documentElement.clientWidth"
MOVED = """() => new Promise(done => { let moved = 0;
  new PerformanceObserver(list => { for (const each of list.getEntries()) moved += each.value; })
    .observe({type: "layout-shift", buffered: true});
  setTimeout(() => done(moved), 300); })"""


@pytest.fixture
def listing(db):
    instrument = make.make_instrument(made="1912", made_basis="mark", height_cm=122)
    make.make_price(instrument=instrument)
    for colour in ("sienna", "navy"):
        make.make_photo(instrument=instrument, colour=colour)
    return make.put_in_window(draft_listing(instrument=instrument, by=make.somebody()))


def test_words_of_any_width_stay_within_the_narrowest_telephone(phone, listing):
    ShopProfile.objects.get_or_create(pk=1)
    wide = {}
    phone.set_viewport_size(NARROW)
    for words in WIDE_WORDS:
        Instrument.objects.update(maker=words[:120], serial=words[:40], case_finish=words[:80])
        Listing.objects.update(
            headline=words[:120], body=words, faults=words, work_done=words, history_words=words
        )
        ShopProfile.objects.update(
            name=words[:120], address=words, delivery_words=words, telephone=words[:40]
        )
        for path in ("/window/", listing.get_absolute_url()):
            phone.goto(path)
            if phone.evaluate(SIDEWAYS):
                wide[words[:6], path] = phone.evaluate("document.scrollingElement.scrollWidth")
    assert wide == {}


def test_a_piano_is_found_and_looked_at_without_script(open_page, listing):
    page = open_page(viewport=NARROW, java_script_enabled=False)
    page.goto("/window/")
    page.get_by_text("Find by height, price").click()
    page.get_by_label("Height to").fill("90")
    page.get_by_role("button", name="Find").click()
    assert page.get_by_text("No piano here answers to all of that.").is_visible()
    page.get_by_label("Height to").fill("130")
    page.get_by_role("button", name="Find").click()
    page.get_by_role("link", name="Halden & Rook").click()
    assert page.get_by_role("heading", name="Its size").is_visible()
    assert page.get_by_role("img", name="Its size beside a person and a doorway").is_visible()


def test_a_page_does_not_move_while_its_pictures_come(phone, listing):
    phone.goto(listing.get_absolute_url())
    assert phone.evaluate(MOVED) <= 0.02
    assert phone.evaluate("[...document.images].every(each => each.width > 0 && each.height > 0)")


def test_questions_that_cannot_be_read_and_a_piano_that_left_are_accessible(phone, listing):
    phone.goto("/window/?height_from=x&price_from=9&price_to=1&kind=organ")
    assert faults_of(phone) == []
    make.make_running_trial(instrument=listing.instrument)
    phone.goto(listing.get_absolute_url())
    assert faults_of(phone) == []
