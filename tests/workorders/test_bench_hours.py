from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from instruments.problems import Blocked
from tests import make
from tests.workorders.pages import send
from workorders.actions.bench_hours import record_days_away, set_hours, take_back_days_away
from workorders.bench_hours import benches
from workorders.models import BenchHours, DaysAway

pytestmark = pytest.mark.django_db
PAGE, SET, AWAY = "/bench/hours/", "/bench/hours/set/", "/bench/hours/away/"
WEEK = (360, 360, 360, 360, 240, 0, 0)


def work(person, by, minutes=WEEK, since=make.A_DAY):
    return set_hours(person=person, since=since, minutes=minutes, by=by)


def be_away(person, by, *, last_day=make.A_DAY, kind="holiday", note=""):
    return record_days_away(
        person=person, first_day=make.A_DAY, last_day=last_day, kind=kind, note=note, by=by
    )


def test_hours_are_set_by_weekday_and_read_back(client, owner, technician):
    client.force_login(owner)
    today = timezone.localdate().isoformat()
    answer = send(client, SET, person=technician.pk, since=today, monday="6 h", friday="4 h 30")
    assert (answer.url, BenchHours.objects.get().week) == (PAGE, (360, 0, 0, 0, 270, 0, 0))
    assert "Monday 6 h, Friday 4 h 30" in client.get(PAGE).content.decode()


def test_a_day_of_more_than_24_hours_is_refused_beside_its_field(client, owner, technician):
    client.force_login(owner)
    page = send(client, SET, person=technician.pk, since="2026-03-21", monday="25 h").content.decode()
    assert "A day has 24 hours." in page and 'value="25 h"' in page
    assert not BenchHours.objects.exists()


def test_a_slip_in_the_year_is_seen(client, owner, technician):
    client.force_login(owner)
    page = send(client, SET, person=technician.pk, since="2206-03-21", monday="6 h").content.decode()
    assert "more than five years from now" in page


def test_only_people_of_the_bench_have_hours(owner, seller):
    with pytest.raises(Blocked, match="Selma Quick does not work at the bench"):
        work(seller, owner)


def test_one_day_away_needs_no_last_day(client, owner, technician):
    client.force_login(owner)
    day = timezone.localdate() + timedelta(days=3)
    send(client, AWAY, person=technician.pk, first_day=day.isoformat(), kind="holiday")
    away = DaysAway.objects.get()
    assert (away.first_day, away.last_day) == (day, day)


def test_a_last_day_before_the_first_is_refused(client, owner, technician):
    client.force_login(owner)
    days = {"first_day": "2026-12-10", "last_day": "2026-12-09"}
    page = send(client, AWAY, person=technician.pk, kind="holiday", **days).content.decode()
    assert "The last day away lies before the first." in page
    assert not DaysAway.objects.exists()


def test_days_away_are_taken_back_once(client, owner, technician):
    work(technician, owner)
    away = be_away(technician, owner)
    assert benches(on=make.A_DAY)[technician.pk](make.A_DAY) == 0
    client.force_login(owner)
    client.post(reverse("workorders:days_away_take_back", args=[away.pk]))
    with pytest.raises(Blocked, match="taken back already"):
        take_back_days_away(days_away=away, by=owner)
    monday = make.A_DAY + timedelta(days=2)
    assert benches(on=make.A_DAY)[technician.pk](monday) == 360


def test_a_technician_sees_only_their_own_hours_and_no_buttons(client, owner, technician):
    other = make.make_user("ines", "Ines Farrow", *technician.groups.all())
    later = timezone.localdate() + timedelta(days=9)
    be_away(technician, owner, last_day=make.A_DAY + timedelta(days=360), note="The dentist")
    be_away(other, owner, last_day=later, kind="illness", note="Her back")
    client.force_login(technician)
    page = client.get(PAGE).content.decode()
    assert "The dentist" in page and "Ines" not in page and "Her back" not in page
    assert SET not in page


def test_the_page_asks_the_database_no_more_for_more_people(client, owner, django_assert_max_num_queries):
    client.force_login(owner)
    client.get(PAGE)
    with django_assert_max_num_queries(20) as before:
        client.get(PAGE)
    for number in range(3):
        work(make.make_user(f"hand{number}", f"Hand {number}", *owner.groups.all()), owner)
    with django_assert_max_num_queries(20) as after:
        client.get(PAGE)
    assert len(after) == len(before)
