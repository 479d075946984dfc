"""Eight things people do here, each from its page to its end without a mouse. Every story is invented."""

import pytest
from django.utils import timezone

from instruments.actions.search import refresh_search_text
from instruments.models import Instrument
from shop.actions.ledger import credit_of, still_to_pay
from shop.actions.listing import draft_listing
from shop.models import Enquiry, Listing, Sale, Trial
from tests import make
from tests.journeys import steps
from tests.journeys.keyboard import Keyboard

pytestmark = pytest.mark.django_db(transaction=True)
DESK = {"width": 1280, "height": 900}


@pytest.fixture
def keyboard(open_for):
    """For a person and an address; when the test ends, every stop was one that could be seen."""
    opened = []

    def open_one(user, url: str) -> Keyboard:
        page = open_for(user, viewport=DESK)
        page.goto(url)
        opened.append(Keyboard(page))
        return opened[-1]

    yield open_one
    assert [fault for each in opened for fault in each.unseen] == []
    assert all(each.stops for each in opened)


def test_somebody_signs_in(page, owner):
    page.goto("/login/")
    keys = Keyboard(page)
    keys.type_in("username", owner.username)
    keys.type_in("password", steps.PASSWORD)
    keys.press("Enter")
    page.get_by_role("heading", name="Today").wait_for()
    assert keys.unseen == []


def test_an_instrument_is_logged(keyboard, buyer):
    keys = keyboard(buyer, "/stock/log/")
    keys.choose("kind", "upright")
    keys.type("Maker", "Halden & Rook")
    keys.choose("keys", "85")
    keys.type_in("serial", "31447")
    keys.type_in("history", "It stood in my aunt's parlour from new.")
    keys.type_in("told_by", "Canary Seller")
    keys.button("Log it")
    keys.page.get_by_text("Logged as").first.wait_for()
    assert Instrument.objects.get().statements.get().text == "It stood in my aunt's parlour from new."


def test_the_stock_is_searched_and_an_instrument_opened(keyboard, seller):
    make.make_instrument(maker="Castlemere")
    wanted = make.make_instrument(maker="Quillon")
    refresh_search_text(wanted)
    keys = keyboard(seller, "/stock/")
    keys.type_in("q", "Quillon")
    keys.press("Enter")
    keys.page.wait_for_url("**q=Quillon**")
    keys.reach(keys.page.locator(f"main a[href='{wanted.get_absolute_url()}']:not([tabindex])"))
    keys.press("Enter")
    keys.page.wait_for_url(f"**{wanted.get_absolute_url()}")


def test_an_item_of_work_is_finished(keyboard, technician):
    item = make.make_item(acceptance="none")
    keys = keyboard(technician, f"/items/{item.pk}/close/")
    keys.type_in("result", "Pins, bushings and springs")
    keys.type_in("minutes", "1 h 30")
    keys.button("It is done")
    keys.page.get_by_text("is done.").first.wait_for()
    item.refresh_from_db()
    assert item.state == "done"


def test_a_listing_is_published(keyboard, seller):
    instrument = make.make_instrument()
    make.make_price(instrument=instrument)
    make.make_photo(instrument=instrument)
    keys = keyboard(seller, f"/stock/{instrument.stock_number}/listing/")
    keys.button("Draft the listing")
    keys.button("Publish")
    keys.page.get_by_text("It is in the window.").wait_for()
    assert Listing.objects.in_window().get().instrument == instrument


def test_a_trial_is_drafted(keyboard, seller):
    instrument = make.make_instrument()
    make.make_price(instrument=instrument)
    keys = keyboard(seller, f"/stock/{instrument.stock_number}/trial/")
    keys.type_in("new_name", "Nell Sorrel")
    keys.type_in("new_address", "4 Salt Lane, Penhallow")
    keys.type_in("pay_now_minor", "1,000")
    keys.type_in("address", "4 Salt Lane, Penhallow")
    keys.button("Draft the agreement")
    keys.page.wait_for_url("**/trials/T*/")
    assert Trial.objects.get().instrument == instrument


def test_one_piano_is_exchanged_for_another(keyboard, seller):
    trial = make.make_running_trial(on=timezone.localdate())
    other = make.make_instrument(maker="Castlemere")
    make.make_price(instrument=other, amount_minor=240_000)
    keys = keyboard(seller, f"/trials/{trial.number}/exchange/")
    keys.choose("other", str(other.pk))
    keys.button("Exchange")
    keys.page.wait_for_url("**/sales/**")
    assert still_to_pay(Sale.objects.get().promise) == 240_000 - trial.pay_now_minor


def test_a_trial_ends_and_what_was_paid_stays_in_credit(keyboard, seller):
    trial = make.make_running_trial(on=timezone.localdate())
    keys = keyboard(seller, f"/trials/{trial.number}/return/")
    keys.choose("give_back", "credit")
    keys.button("End the trial")
    keys.page.wait_for_url(f"**/trials/{trial.number}/")
    assert credit_of(trial.person) == trial.pay_now_minor


def test_a_stranger_asks_about_a_piano_in_the_window(page):
    instrument = make.make_instrument(maker="Quillon")
    make.make_price(instrument=instrument)
    make.make_photo(instrument=instrument)
    listing = make.put_in_window(draft_listing(instrument=instrument, by=make.somebody()))
    page.goto("/window/")
    keys = Keyboard(page)
    keys.link("Quillon")
    page.wait_for_url(f"**{listing.get_absolute_url()}")
    keys.choose("about", "question")
    keys.type_in("name", "Nell Sorrel")
    keys.type_in("email", "nell@sorrel.example")
    keys.type_in("message", "Is it still there?")
    page.wait_for_timeout(1000 * 5)  # somebody reads what they wrote; a program does not
    keys.button("Send it")
    page.wait_for_url("**/ask/thank-you/")
    assert Enquiry.objects.get().instrument == instrument
    assert keys.unseen == []
