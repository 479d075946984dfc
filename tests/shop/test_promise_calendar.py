from datetime import timedelta

import pytest
from django.urls import reverse

from shop.actions.promises import place_hold, release_hold
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


def test_what_has_ended_has_no_file(client, seller, hold):
    client.force_login(seller)
    release_hold(promise=hold, by=seller, on=make.A_DAY)
    assert fetch(client, hold).status_code == 404
