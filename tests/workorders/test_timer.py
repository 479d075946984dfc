"""The timer at the bench: started, paused, forgotten; what it came to is written down once."""

from datetime import date, datetime, timedelta

import pytest
from django.db import IntegrityError, transaction
from django.utils import timezone

from instruments.problems import Blocked
from tests import make
from tests.workorders.pages import item_and_its_prerequisite
from tests.workorders.test_item_close_race import at_the_same_moment
from workorders.actions.bench import set_rate
from workorders.actions.items import close_item
from workorders.actions.timers import (
    pause_timer,
    running_timer,
    settle_timer,
    start_timer,
    stop_timer_on,
)
from workorders.bench_problems import TimerForgotten
from workorders.models import BenchTimer, TimeSpent

pytestmark = pytest.mark.django_db


def at(text: str) -> datetime:
    return timezone.make_aware(datetime.fromisoformat(text))


NINE = at("2026-03-20 09:00")


def spent() -> list[tuple[str, int, date]]:
    return [(row.item.name, row.minutes, row.worked_on) for row in TimeSpent.objects.select_related("item")]


def test_pausing_writes_down_the_minutes_at_the_rate_of_the_day(technician, owner):
    set_rate(per_hour_minor=3000, since=date(2026, 1, 1), by=owner)
    item = make.make_item()
    start_timer(item=item, by=technician, at=NINE)
    pause_timer(by=technician, at=NINE + timedelta(minutes=40))
    (entry,) = TimeSpent.objects.all()
    assert (entry.minutes, entry.cost_minor, entry.worked_on) == (40, 2000, date(2026, 3, 20))
    assert entry.note == "Timer, 09:00 to 09:40"
    assert running_timer(technician) is None


def test_past_midnight_each_day_has_its_own_minutes_and_rate(technician, owner):
    set_rate(per_hour_minor=3000, since=date(2026, 1, 1), by=owner)
    set_rate(per_hour_minor=6000, since=date(2026, 3, 21), by=owner)
    start_timer(item=make.make_item(), by=technician, at=at("2026-03-20 23:00"))
    pause_timer(by=technician, at=at("2026-03-21 00:30"))
    rows = [(row.worked_on, row.minutes, row.cost_minor) for row in TimeSpent.objects.all()]
    assert rows == [(date(2026, 3, 20), 60, 3000), (date(2026, 3, 21), 30, 3000)]


def test_less_than_half_a_minute_is_not_written_down(technician):
    start_timer(item=make.make_item(), by=technician, at=NINE)
    assert pause_timer(by=technician, at=NINE + timedelta(seconds=20)).minutes == 0
    assert spent() == []


def test_another_item_pauses_the_first(technician):
    first, second = make.make_item(name="Ease the keys"), make.make_item(name="Clean out")
    start_timer(item=first, by=technician, at=NINE)
    started = start_timer(item=second, by=technician, at=NINE + timedelta(minutes=25))
    assert (started.timer.item, started.paused.item, started.paused.minutes) == (second, first, 25)
    assert spent() == [("Ease the keys", 25, date(2026, 3, 20))]


def test_started_twice_it_runs_once(technician):
    item = make.make_item()
    first = start_timer(item=item, by=technician, at=NINE).timer
    assert start_timer(item=item, by=technician, at=NINE + timedelta(minutes=5)).timer == first
    assert BenchTimer.objects.count() == 1


def test_what_nobody_has_becomes_theirs_and_what_somebody_has_stays_with_them(technician, owner):
    free, theirs = make.make_item(), make.make_item(assigned_to=owner)
    start_timer(item=free, by=technician, at=NINE)
    start_timer(item=theirs, by=technician, at=NINE)
    free.refresh_from_db()
    theirs.refresh_from_db()
    assert (free.assigned_to, theirs.assigned_to) == (technician, owner)


def test_what_waits_or_is_closed_cannot_be_started(technician):
    weigh, lubricate = item_and_its_prerequisite()
    with pytest.raises(Blocked, match="Lubricate the action first"):
        start_timer(item=weigh, by=technician, at=NINE)
    close_item(item=lubricate, by=technician, on=make.A_DAY, result="Done.")
    with pytest.raises(Blocked, match="Tobias Lind closed"):
        start_timer(item=lubricate, by=technician, at=NINE)


def test_nothing_runs_nothing_is_paused(technician):
    with pytest.raises(Blocked, match="No timer of yours is running"):
        pause_timer(by=technician, at=NINE)


def test_a_forgotten_timer_is_asked_about_and_not_written_down(technician):
    item = make.make_item()
    start_timer(item=item, by=technician, at=NINE)
    later = NINE + timedelta(hours=23)
    with pytest.raises(TimerForgotten, match="has run since Friday 20 March, 09:00"):
        pause_timer(by=technician, at=later)
    with pytest.raises(TimerForgotten):
        start_timer(item=make.make_item(), by=technician, at=later)
    assert stop_timer_on(item=item, by=technician, at=later) is None
    assert spent() == [] and running_timer(technician)


def test_what_is_told_afterwards_counts_from_its_start(technician):
    start_timer(item=make.make_item(), by=technician, at=at("2026-03-20 23:00"))
    timer = settle_timer(by=technician, minutes=90, at=at("2026-03-21 17:00"))
    assert [(minutes, day) for _, minutes, day in spent()] == [
        (60, date(2026, 3, 20)),
        (30, date(2026, 3, 21)),
    ]
    assert timer.was_told and running_timer(technician) is None


def test_nothing_may_be_told_and_not_more_than_has_passed(technician):
    start_timer(item=make.make_item(), by=technician, at=NINE)
    with pytest.raises(Blocked, match="It was started 12 h ago"):
        settle_timer(by=technician, minutes=721, at=NINE + timedelta(hours=12))
    settle_timer(by=technician, minutes=0, at=NINE + timedelta(hours=12))
    assert spent() == [] and running_timer(technician) is None


def test_finishing_stops_only_the_timer_on_that_item(technician):
    item, other = make.make_item(), make.make_item()
    start_timer(item=item, by=technician, at=NINE)
    assert stop_timer_on(item=other, by=technician, at=NINE) is None
    assert stop_timer_on(item=item, by=technician, at=NINE + timedelta(minutes=10)).minutes == 10


@pytest.mark.both
def test_the_database_refuses_a_second_running_timer(technician):
    item = make.make_item()
    start_timer(item=item, by=technician, at=NINE)
    with pytest.raises(IntegrityError), transaction.atomic():
        BenchTimer.objects.create(person=technician, item=item, started_at=NINE)


@pytest.mark.both
@pytest.mark.django_db(transaction=True)
def test_two_starts_of_one_person_at_once_leave_one_running(technician):
    items = [make.make_item(name="Ease the keys"), make.make_item(name="Clean out")]
    at_the_same_moment(
        *(lambda item=item: start_timer(item=item, by=technician, at=timezone.now()) for item in items)
    )
    assert BenchTimer.objects.running().count() == 1
    assert BenchTimer.objects.count() == 2


@pytest.mark.both
@pytest.mark.django_db(transaction=True)
def test_two_pauses_at_once_write_the_minutes_down_once(technician):
    start_timer(item=make.make_item(), by=technician, at=NINE)
    paused_at = NINE + timedelta(minutes=30)
    at_the_same_moment(*[lambda: pause_timer(by=technician, at=paused_at)] * 2)
    assert [minutes for _, minutes, _ in spent()] == [30]
