"""The real button in a real browser: pressed twice, and pressed again after going back. It is done once."""

import pytest
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import expect

from instruments.models import Submission
from shop.models import Paper, Payment, Promise, Sale
from tests import make

pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture(params=[True, False], ids=["with script", "without script"])
def desk(request, open_for, seller):
    """With script the button is held after the first press; without it both presses go out."""
    return open_for(seller, java_script_enabled=request.param)


@pytest.fixture
def running():
    return make.make_running_trial(pay_now_minor=50_000, on=timezone.localdate())


def press_twice(page, words: str) -> None:
    page.get_by_role("button", name=words).dblclick(no_wait_after=True)


def test_payment_pressed_twice_is_taken_once_and_going_back_brings_an_empty_form(desk, running):
    address = reverse("shop:payment_take", args=[running.promise_id])
    desk.goto(address)
    desk.fill("[name=amount_minor]", "100")
    press_twice(desk, "It is paid")
    expect(desk).to_have_url(running.get_absolute_url())
    desk.go_back()
    expect(desk).to_have_url(address)
    desk.get_by_role("button", name="It is paid").click()
    expect(desk.get_by_text("is still empty").or_(desk.locator("input:invalid"))).to_be_visible()
    assert [each.amount_minor for each in Payment.objects.all()] == [50_000, 10_000]
    assert Submission.objects.count() == 1


def test_trial_pressed_twice_starts_once_and_going_back_starts_no_other(desk):
    trial = make.make_trial(on=timezone.localdate())
    address = reverse("shop:trial_start", args=[trial.number])
    desk.goto(address)
    press_twice(desk, "Paid and signed: start")
    expect(desk).to_have_url(trial.get_absolute_url())
    desk.go_back()
    expect(desk).to_have_url(address)
    desk.get_by_role("button", name="Paid and signed: start").click()
    expect(desk.get_by_text(f"{trial.number} has started already.")).to_be_visible()
    assert (Promise.objects.count(), Payment.objects.count(), Paper.objects.count()) == (1, 1, 1)


def test_trial_kept_by_two_presses_is_one_sale_and_going_back_leads_to_the_trial(desk, running):
    desk.goto(reverse("shop:trial_keep", args=[running.number]))
    press_twice(desk, "Make it a sale")
    desk.wait_for_url("**/sales/*/")
    sale = Sale.objects.get()
    expect(desk).to_have_url(sale.get_absolute_url())
    desk.go_back()
    expect(desk.get_by_text(f"{running.number} is not out, and so it cannot be ended.")).to_be_visible()
    assert (Sale.objects.count(), Payment.objects.count()) == (1, 1)


@pytest.mark.parametrize("script", [True, False], ids=["with script", "without script"])
def test_refused_form_mended_and_reloaded_pays_once(open_for, seller, running, script):
    """A reload of a page that answered a post asks the browser to send it again."""
    page = open_for(seller, java_script_enabled=script)
    address = reverse("shop:payment_take", args=[running.promise_id])
    page.goto(address)
    page.fill("[name=amount_minor]", "99999")
    page.get_by_role("button", name="It is paid").click()
    expect(page.get_by_text("That is more than is still to pay:").first).to_be_visible()
    page.fill("[name=amount_minor]", "100")
    press_twice(page, "It is paid")
    expect(page).to_have_url(running.get_absolute_url())
    page.reload()
    assert [each.amount_minor for each in Payment.objects.all()] == [50_000, 10_000]
