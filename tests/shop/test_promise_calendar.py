from datetime import timedelta

import pytest
from django.urls import reverse

from shop.actions.promises import place_hold, release_hold
from shop.actions.trial_steps import agree_mover, record_collection
from shop.actions.trials import return_trial, start_trial
from tests import make

pytestmark = pytest.mark.django_db


@pytest.fixture
def hold(seller):
    return place_hold(
        instrument=make.make_instrument(),
        person=make.make_person(name="Ann; Lee, \\n"),
        until=make.A_DAY + timedelta(days=7),
        by=seller,
        on=make.A_DAY,
    )


def fetch(client, promise):
    return client.get(reverse("shop:promise_calendar", args=[promise.pk]))


def test_the_end_of_a_hold_or_trial_goes_out_as_a_calendar_file(client, seller, hold):
    client.force_login(seller)
    answer = fetch(client, hold)
    assert answer["Content-Type"].startswith("text/calendar")
    assert b"DTSTART;VALUE=DATE:20260328\r\n" in answer.content
    assert b"Ann\\; Lee\\, \\\\n" in answer.content
    trial = make.make_running_trial()
    written = fetch(client, trial.promise).content
    assert f"DTSTART;VALUE=DATE:{trial.ends_on:%Y%m%d}".encode() in written


def book(trial, seller, leg, day):
    booked = {"mover": "Cobb Carriers", "day": day, "amount_minor": 9_000}
    return agree_mover(trial=trial, leg=leg, by=seller, on=make.A_DAY, **booked)


def events(written: bytes) -> list[dict[str, str]]:
    """Each event's own properties, unfolded (RFC 5545, 3.1), and not those of its alarms."""
    assert all(len(row) <= 75 for row in written.split(b"\r\n"))
    text = written.decode().replace("\r\n ", "")
    blocks = [block.split("BEGIN:VALARM")[0] for block in text.split("BEGIN:VEVENT")[1:]]
    return [dict(row.split(":", 1) for row in block.split("\r\n") if row) for block in blocks]


def test_the_days_of_a_trial_are_its_end_and_when_it_is_brought_and_fetched(client, seller):
    """UID 3.8.4.7, DTSTART 3.8.2.4 as a DATE, SEQUENCE 3.8.7.4, folding 3.1: RFC 5545."""
    client.force_login(seller)
    brought, fetched = (make.A_DAY + timedelta(days=days) for days in (3, 45))
    trial = make.make_trial(address="The Mill House, by the long lane past the chapel, Marrowby-on-the-Water")
    book(trial, seller, "out", brought - timedelta(days=1))
    book(trial, seller, "out", brought)
    trial = start_trial(trial=trial, method="card", by=seller, on=make.A_DAY)
    book(trial, seller, "back", fetched)
    found = events(fetch(client, trial.promise).content)
    assert [each["DTSTART;VALUE=DATE"] for each in found] == [
        f"{day:%Y%m%d}" for day in (trial.ends_on, brought, fetched)
    ]
    assert [each["SEQUENCE"] for each in found] == ["0", "1", "0"]
    assert len({each["UID"] for each in found}) == 3
    assert [each["SUMMARY"].partition(" ")[0] for each in found] == ["Home", "Bring", "Fetch"]
    assert "Cobb Carriers" in found[1]["DESCRIPTION"]
    assert {each["UID"] for each in found} == {
        each["UID"] for each in events(fetch(client, trial.promise).content)
    }


def test_what_was_brought_or_fetched_is_no_day_to_come(client, seller):
    client.force_login(seller)
    trial = make.make_delivered_trial()
    book(trial, seller, "back", make.A_DAY + timedelta(days=9))
    return_trial(trial=trial, give_back="refund", method="card", by=seller, on=make.A_DAY)
    (still,) = events(fetch(client, trial.promise).content)
    assert still["SUMMARY"].startswith("Fetch")
    back = {"collected_on": make.A_DAY, "mover": "Cobb", "handed_over_by": "Wilf"}
    record_collection(trial=trial, by=seller, on=make.A_DAY, **back)
    assert fetch(client, trial.promise).status_code == 404


def test_what_has_ended_has_no_file(client, seller, hold):
    client.force_login(seller)
    release_hold(promise=hold, by=seller, on=make.A_DAY)
    assert fetch(client, hold).status_code == 404
