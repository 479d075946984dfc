"""What pages show in some states only: two surveys to compare, a range narrowed, more work than hours."""

import base64
from datetime import timedelta
from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone
from django_otp.oath import TOTP

from instruments.actions.history import save_tracked
from instruments.actions.measures import record_climate
from instruments.actions.weighing import begin_weighing, take_readings
from shop.actions.listing import draft_listing
from shop.models import ShopProfile
from tests import make
from tests.journeys import steps
from tests.journeys.seen_pages import faults_of, faults_on
from workorders.actions.bench_hours import set_hours

pytestmark = pytest.mark.django_db(transaction=True)
LATER = make.A_DAY + timedelta(days=9)


def test_what_was_measured_twice_or_in_part_is_accessible(signed_in, owner):
    piano = make.make_instrument()
    make.make_pin_survey(instrument=piano, readings=[(key, 1, "8") for key in range(20, 30)])
    pins = make.make_pin_survey(instrument=piano, on=LATER, is_whole=False)
    make.make_pitch_survey(instrument=piano)
    pitch = make.make_pitch_survey(instrument=piano, on=LATER, stage="after_tuning")
    weighing = begin_weighing(instrument=piano, by=owner, on=make.A_DAY)
    take_readings(weighing=weighing, readings=[(key, 50, 26) for key in range(1, 9)], by=owner)
    found = {
        "a sample beside the fuller survey": reverse("instruments:measures", args=[piano.stock_number]),
        "pins held against earlier ones": pins.get_absolute_url(),
        "pitch held against an earlier one": pitch.get_absolute_url(),
        "a weigh-off under way": reverse(
            "instruments:weighing_entry", args=[piano.stock_number, weighing.pk]
        ),
    }
    assert faults_on(signed_in, found) == {}


def test_two_reports_a_range_narrowed_and_a_move_between_rooms_are_accessible(signed_in, owner):
    make.make_serial_mark(serial=20_000, year=1904)
    make.make_serial_mark(serial=40_000, year=1912)
    piano = make.make_instrument(serial="31447")
    proved = {"asserts": "patent", "dated": "1907", "grade": "document", "source_note": "an invoice"}
    make.make_statement(instrument=piano, text="The patent plate", **proved)
    make.make_statement(instrument=piano, asserts="owned", who="the Ardens", dated="1906/1930")
    reports = [make.make_report(instrument=piano, occasion=each) for each in ("as_bought", "finished")]
    for report, condition in zip(reports, ("repair", "sound"), strict=True):
        make.make_line(report=report, condition=condition)
    make.make_line(report=reports[0], part="keys")
    air = [air_of("Workshop", 50, owner), air_of("Front room", 25, owner)]
    one, two = (report.pk for report in reports)
    compare = reverse("instruments:condition_compare", args=[piano.stock_number])
    found = {
        "a range narrowed": reverse("instruments:dating", args=[piano.stock_number]),
        "two reports": f"{compare}?one={one}&two={two}",
        "a move": f"{reverse('instruments:climate')}?before={air[0].pk}&after={air[1].pk}",
    }
    assert faults_on(signed_in, found) == {}


def air_of(room: str, humidity: int, by):
    read = {"temperature_c": Decimal(20), "humidity_percent": Decimal(humidity)}
    return record_climate(room=room, by=by, on=make.A_DAY, **read)


def test_proof_by_measuring_and_a_week_too_full_are_accessible(signed_in, owner, technician):
    today = timezone.localdate()
    for person in (owner, technician):
        set_hours(person=person, since=today - timedelta(days=30), minutes=(60,) * 7, by=owner)
    piano = make.make_instrument()
    order = make.make_order(instrument=piano, opened_on=today - timedelta(days=3), due_on=today)
    make.make_weighing(instrument=piano)
    make.make_pin_survey(instrument=piano)
    limits = {"figure_name": "turning force", "figure_unit": "N·m", "figure_low": 5, "figure_high": 16}
    items = {
        "closed by a weigh-off": make.make_item(order=order, name="Weigh it off", acceptance="touch"),
        "closed by pins": make.make_item(order=order, name="Repin", acceptance="pins", **limits),
    }
    make.make_item(order=order, name="Restring", usual_minutes=900, assigned_to=technician)
    found = {name: reverse("workorders:item_close", args=[each.pk]) for name, each in items.items()}
    assert faults_on(signed_in, found | {"more work than hours": reverse("workorders:plan")}) == {}


def test_the_letter_to_somebody_who_waits_is_accessible(signed_in, owner):
    profile = ShopProfile(pk=1, name="Lark Row Pianos", public_address="https://larkrow.example/window/")
    save_tracked(profile, by=owner, why="Set up")
    person = make.make_person(name="Priya Ravenhall", email="priya@ravenhall.example")
    agreed_on = timezone.localdate() - timedelta(days=3)
    wish = make.make_wanted(person=person, told_agreed_on=agreed_on)
    piano = make.make_instrument()
    make.make_price(instrument=piano)
    make.make_photo(instrument=piano)
    make.put_in_window(draft_listing(instrument=piano, by=owner))
    letter = reverse("shop:wanted_tell", args=[wish.pk, piano.stock_number])
    assert faults_on(signed_in, {"the letter": letter}) == {}


def test_the_codes_that_stand_in_for_a_telephone_are_accessible(signed_in):
    signed_in.goto(reverse("shop:second_step"))
    key = base64.b32decode(padded(signed_in.locator(".serial.break").inner_text().replace(" ", "")))
    signed_in.fill("[name=code]", f"{TOTP(key).token():06}")
    assert faults_after(signed_in, "It works: keep it") == []
    signed_in.goto(reverse("shop:recovery_codes"))
    assert faults_of(signed_in) == []
    assert faults_after(signed_in, "Make new ones") == []


def padded(letters: str) -> str:
    return letters + "=" * (-len(letters) % 8)


def faults_after(page, button: str) -> list[str]:
    """What is found on the ten codes, which the press leads to and no address does."""
    page.fill("[name=present]", steps.PASSWORD)
    page.get_by_role("button", name=button).click()
    page.get_by_role("heading", name="Ten recovery codes").wait_for()
    return faults_of(page)
