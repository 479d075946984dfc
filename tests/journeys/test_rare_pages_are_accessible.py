"""Pages that one meets seldom, and then in trouble: refusals, faults, what is gone, the second step."""

from datetime import timedelta

import pytest
from django.template.loader import render_to_string
from django.urls import reverse
from django.utils import timezone
from django_otp.oath import TOTP

from shop.actions.listing import draft_listing
from shop.actions.second_step import set_up
from shop.actions.sign_in import LIMITS
from shop.log_states import TryKind
from tests import make
from tests.journeys import steps
from tests.journeys.seen_pages import faults_of
from workorders.actions.timers import start_timer

pytestmark = pytest.mark.django_db(transaction=True)
FAULTS = ("400.html", "403.html", "403_csrf.html", "404.html", "409.html", "413.html", "500.html", "503.html")


def seen(page, url: str) -> list[str]:
    page.goto(url)
    return faults_of(page)


@pytest.mark.parametrize("template", FAULTS)
def test_a_page_of_a_fault_is_accessible(phone, db, template):
    phone.goto("/login/")
    phone.set_content(render_to_string(template, {"sentence": "Nothing was changed.", "waits": 30}))
    assert phone.locator("h1").inner_text()
    assert faults_of(phone) == []


def test_what_is_gone_is_accessible(phone, db):
    instrument = make.make_instrument()
    make.make_price(instrument=instrument)
    make.make_photo(instrument=instrument)
    listing = make.put_in_window(draft_listing(instrument=instrument, by=make.somebody()))
    make.make_running_trial(instrument=instrument)
    assert seen(phone, listing.get_absolute_url()) == []
    phone.get_by_role("heading", level=1).wait_for()
    assert seen(phone, reverse("photo_send", args=["x" * 43])) == []
    assert seen(phone, f"{reverse('password_new')}#{'x' * 20}") == []


def test_the_second_step_is_accessible(phone, owner, live_server):
    key = b"12345678901234567890".hex()
    set_up(user=owner, key=key, code=f"{TOTP(bytes.fromhex(key)).token():06}")
    phone.goto("/login/")
    phone.fill("[name=username]", owner.username)
    phone.fill("[name=password]", steps.PASSWORD)
    phone.get_by_role("button", name="Sign in").click()
    phone.locator("[name=code]").wait_for()
    assert faults_of(phone) == []


def test_two_cards_beside_each_other_and_the_log_read_through_are_accessible(signed_in):
    into, double = make.make_person(name="Wilf Arden"), make.make_person(name="W. Arden")
    assert seen(signed_in, f"{reverse('shop:person_join', args=[into.pk])}?with={double.pk}") == []
    signed_in.goto(reverse("shop:access_log"))
    signed_in.locator("form[action*=check] button").first.click()
    signed_in.wait_for_load_state()
    assert faults_of(signed_in) == []


def test_a_timer_forgotten_over_night_is_accessible(open_for, technician):
    start_timer(item=make.make_item(), by=technician, at=timezone.now() - timedelta(hours=26))
    page = open_for(technician, viewport={"width": 360, "height": 740})
    assert seen(page, "/bench/") == []
    assert seen(page, reverse("workorders:timer_settle")) == []


def test_who_tried_too_often_reads_so(phone, owner):
    phone.goto("/login/")
    for _ in range(LIMITS[TryKind.PASSWORD].others + 1):
        phone.fill("[name=username]", owner.username)
        phone.fill("[name=password]", "wrong-felt-11")
        phone.get_by_role("button", name="Sign in").click()
        phone.wait_for_load_state()
    phone.get_by_role("heading", name="A pause before the next try").wait_for()
    assert faults_of(phone) == []


def test_pianos_beside_each_other_and_a_paper_not_printed_yet_are_accessible(signed_in):
    first, second = make.make_instrument(height_cm=122), make.make_instrument(maker="Castlemere")
    for instrument in (first, second):
        make.make_price(instrument=instrument)
    assert seen(signed_in, f"/compare/?of={first.stock_number}&of={second.stock_number}") == []
    terms = make.make_sale_or_return()
    assert seen(signed_in, reverse("shop:sale_or_return_print", args=[terms.number])) == []


def test_somebody_signs_out_and_reads_so(signed_in):
    signed_in.goto("/own/")
    with signed_in.expect_navigation():
        signed_in.locator("form[action*=logout] button").first.evaluate("each => each.click()")
    assert faults_of(signed_in) == []
