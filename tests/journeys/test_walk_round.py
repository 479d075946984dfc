"""A walk round an instrument with one hand on a phone."""

import re

import pytest
from django.conf import settings
from django.urls import reverse
from playwright.sync_api import expect

from instruments.actions.condition_reports import close_report
from instruments.states import PARTS_AT, Station
from tests.make import make_line, make_report
from tests.pictures import picture_bytes

PICTURE = {"name": "pins.jpg", "mimeType": "image/jpeg", "buffer": picture_bytes()}
pytestmark = pytest.mark.django_db(transaction=True)


@pytest.fixture
def hand(phone, client, technician, live_server):
    client.force_login(technician)
    session = client.cookies[settings.SESSION_COOKIE_NAME].value
    phone.context.add_cookies(
        [{"name": settings.SESSION_COOKIE_NAME, "value": session, "url": live_server.url}]
    )
    return phone


def at(report, station: str) -> str:
    return reverse("instruments:condition_station", args=[report.instrument.stock_number, report.pk, station])


def pressed(hand):
    return hand.locator("[name$='-condition'][value=sound]:checked")


def test_a_group_is_sound_in_one_press_a_fault_has_its_photo_and_nothing_is_lost(hand):
    report = make_report()
    make_line(report=report, part="case", condition="attend")
    hand.goto(at(report, "outside"))
    every = hand.get_by_role("button", name="All of this group sound")
    every.tap()
    expect(pressed(hand)).to_have_count(2)
    hand.get_by_role("button", name="Undo: leave them open").tap()
    expect(pressed(hand)).to_have_count(0)
    hand.locator("#part-case .walk-toggle").tap()
    assert hand.locator("#part-case .walk-fields").is_visible()
    every.tap()
    # Left without saving, it stands there again.
    hand.locator("form[data-kept]").wait_for()
    hand.goto(report.get_absolute_url())
    hand.goto(at(report, "outside"))
    expect(hand.get_by_text("It stands below again, not saved yet.")).to_be_visible()
    expect(pressed(hand)).to_have_count(2)
    hand.get_by_role("button", name="Save and go on").tap()
    hand.wait_for_url(f"**{at(report, 'lid')}")
    assert hand.get_by_text("3 of 20").is_visible()

    pins = hand.locator("#part-pins")
    pins.get_by_text("Repair", exact=True).tap()
    pins.get_by_label("Photograph", exact=True).set_input_files(PICTURE)
    pins.get_by_label("Lowest torque").fill("4,6")
    assert too_small(hand) == []
    hand.get_by_role("button", name="Save and go on").tap()
    hand.wait_for_url(f"**{at(report, 'front')}")
    line = report.findings.get(part="pins")
    assert (line.condition, line.value_words, line.photo.shot) == ("repair", "lowest torque: 4.6 N·m", "pins")
    assert report.findings.count() == 4


def test_a_fault_of_an_earlier_report_is_left_for_a_judgement_of_its_own(hand):
    before = make_report()
    make_line(report=before, part="case", condition="attend")
    close_report(report=before, by=before.begun_by)
    hand.goto(at(make_report(instrument=before.instrument), "outside"))
    hand.get_by_role("button", name="All of this group sound").tap()
    expect(pressed(hand)).to_have_count(2)
    expect(hand.locator("#part-case :checked")).to_have_count(0)
    expect(hand.get_by_text("1 part was Attend before: look at it by itself.")).to_be_visible()


def too_small(hand) -> list[str]:
    """What a thumb would miss: buttons, chips and choices lower than 44 px."""
    reached = hand.locator(".walk :is(button, .chip, .walk-toggle), .walk-stations a")
    is_low = "(each) => each.offsetHeight && each.offsetHeight < 44"
    return reached.evaluate_all(f"all => all.filter({is_low}).map((each) => each.textContent.trim())")


def test_a_walk_goes_on_without_a_connection_and_arrives_once(hand):
    report = make_report()
    hand.goto(at(report, "outside"))
    expect(hand.locator("#outbox[data-offline=ready]")).to_have_count(1)
    hand.context.set_offline(True)
    for station in ("Outside", "Lid up"):
        if station == "Lid up":
            hand.get_by_role("link", name="On to the next: Lid up").tap()
            frame = hand.locator("#part-frame")
            frame.get_by_text("Attend", exact=True).tap()
            frame.get_by_label("Photograph", exact=True).set_input_files(PICTURE)
        hand.get_by_role("button", name="All of this group sound").tap()
        hand.get_by_role("button", name="Save and go on").tap()
        expect(hand.get_by_text("Kept on this device")).to_be_visible()
    assert not report.findings.exists()
    hand.context.set_offline(False)
    hand.goto(report.get_absolute_url())
    # The page that is left may have sent one of them already.
    expect(hand.locator(".outbox-count")).to_have_text(re.compile(r"^[12] sent"))
    sound = dict.fromkeys(PARTS_AT[Station.OUTSIDE] + PARTS_AT[Station.LID], "sound")
    assert dict(report.findings.values_list("part", "condition")) == sound | {"frame": "attend"}
    assert report.findings.get(part="frame").photo
    assert report.findings.count() == len(sound)
