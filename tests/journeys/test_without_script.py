"""What moves money or closes work does so with scripts switched off, by plain links and forms."""

import pytest
from django.utils import timezone

from instruments.models import Instrument
from shop.actions.ledger import credit_of, still_to_pay
from shop.models import Listing, Sale
from tests import make
from tests.browser import PHONE
from tests.journeys import steps
from workorders.models import TimeSpent

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def without_script(open_for):
    def open_one(user):
        page = open_for(user, viewport=PHONE, java_script_enabled=False)
        page.goto("/")
        assert page.locator("script").count() > 0  # they are offered, and do not run
        return page

    return open_one


def test_an_instrument_is_logged_and_a_refused_form_loses_nothing(without_script, buyer):
    page = without_script(buyer)
    page.goto("/stock/log/")
    page.get_by_label("Upright").check()
    page.get_by_label("85, A0 to A7").check()
    page.fill("#id_serial", "31447")
    page.fill("#id_history", "It stood in my aunt's parlour from new.")
    page.fill("#id_told_by", "Canary Seller")
    page.set_input_files(
        "#id_photos", [steps.sideways_photo_with_a_place("front.jpg"), steps.no_photo("note.jpg")]
    )
    page.get_by_role("button", name="Log it").click()
    page.get_by_text("Not saved yet. What you typed is still here.").wait_for()
    page.get_by_text("note.jpg").first.wait_for()
    assert page.input_value("#id_serial") == "31447"
    page.get_by_text("1 kept.").wait_for()
    page.get_by_label("Maker", exact=True).fill("Halden & Rook")
    page.get_by_role("button", name="Log it").click()
    page.get_by_text("Logged as").first.wait_for()
    instrument = Instrument.objects.get()
    assert instrument.photos.get().original_name == "front.jpg"
    assert instrument.statements.get().text == "It stood in my aunt's parlour from new."


def test_an_item_is_finished_with_a_photograph_and_its_time(without_script, technician):
    item = make.make_item(acceptance="photo")
    page = without_script(technician)
    page.goto(f"/items/{item.pk}/close/")
    page.fill("[name=result]", "Pins, bushings and springs")
    page.fill("[name=minutes]", "1 h 30")
    page.set_input_files("[name=new_photo]", steps.upload("after.jpg", "peru"))
    page.get_by_role("button", name="It is done").click()
    page.get_by_text("is done.").first.wait_for()
    item.refresh_from_db()
    assert (item.state, item.photo.original_name) == ("done", "after.jpg")
    assert TimeSpent.objects.get().minutes == 90


def test_a_listing_is_drafted_published_and_taken_out(without_script, seller):
    instrument = make.make_instrument()
    make.make_price(instrument=instrument)
    make.make_photo(instrument=instrument)
    page = without_script(seller)
    steps.publish(page, instrument)
    assert Listing.objects.in_window().get().instrument == instrument
    page.get_by_role("button", name="Take it out").click()
    page.get_by_text("Taken out of the window.").wait_for()
    assert not Listing.objects.in_window().exists()


def test_a_trial_is_drafted_started_and_exchanged(without_script, seller):
    instrument, other = make.make_instrument(), make.make_instrument(maker="Castlemere")
    make.make_price(instrument=instrument)
    make.make_price(instrument=other, amount_minor=240_000)
    page = without_script(seller)
    trial = steps.draft_trial(page, instrument, name="Nell Sorrel", pay_now="1,000")
    steps.start_trial(page, trial)
    steps.exchange(page, trial, other)
    page.get_by_text("£1,400.00 is still to pay.").wait_for()
    assert still_to_pay(Sale.objects.get().promise) == 140_000


def test_a_return_leaves_what_is_over_in_credit(without_script, seller):
    trial = make.make_running_trial(on=timezone.localdate())
    page = without_script(seller)
    page.goto(f"/trials/{trial.number}/return/")
    page.fill("[name=deduction_minor]", "40")
    page.fill("[name=note]", "A castor broken on the stairs, agreed")
    page.select_option("[name=agreed_how]", "signed")
    page.get_by_label("Leave it in credit").check()
    page.get_by_role("button", name="End the trial").click()
    page.get_by_text("A castor broken on the stairs, agreed").wait_for()
    assert credit_of(trial.person) == 176_000
