"""The timer of a person at the bench: started, paused, and told afterwards when it was forgotten.

Whoever holds an item and a person takes the item first, so that two acts of one person never wait for each
other.
"""

from dataclasses import dataclass
from datetime import datetime, timedelta

from django.contrib.auth import get_user_model
from django.db import connection
from django.utils import timezone

from instruments.actions.whole import whole
from instruments.models.worded import ASKED, Worded, beforehand
from instruments.problems import Blocked, Blocker, refuse_if_blocked
from workorders.actions.bench import log_time
from workorders.actions.holding import hold_item
from workorders.actions.items import assign_item
from workorders.bench_problems import TimerForgotten, settling_problems, starting_problems
from workorders.calc.timing import minutes_by_day
from workorders.models import BenchTimer, WorkItem

NOTHING_RUNS = "No timer of yours is running."


@dataclass(frozen=True)
class TimerStarted:
    """The timer that runs now, and the one that was paused for it."""

    timer: BenchTimer
    paused: BenchTimer | None = None


@whole
def start_timer(*, item: WorkItem, by, at: datetime) -> TimerStarted:
    """Begin or go on with an item; what the person was at is paused. An item nobody has becomes theirs.

    Raises Blocked when the item cannot be started, TimerForgotten when their running timer is past belief.
    """
    item = hold_item(item)
    refuse_if_blocked(starting_problems(item))
    running = _held_timer(by)
    if running and running.item_id == item.pk:
        return TimerStarted(running)
    paused = _stopped(running, at=at) if running else None
    if item.assigned_to_id is None:
        assign_item(item=item, to=by, by=by, on=timezone.localdate(at))
    return TimerStarted(BenchTimer.objects.create(person=by, item=item, started_at=at), paused)


@whole
def pause_timer(*, by, at: datetime) -> BenchTimer:
    """Stop a person's timer and write down its minutes, each day's at the rate of that day."""
    running = _held_timer(by)
    if running is None:
        raise Blocked([Blocker(NOTHING_RUNS)])
    return _stopped(running, at=at)


@whole
def settle_timer(*, by, minutes: int, at: datetime) -> BenchTimer:
    """Stop a timer that was left running at what it really was; 0 writes nothing down."""
    running = _held_timer(by)
    if running is None:
        raise Blocked([Blocker(NOTHING_RUNS)])
    refuse_if_blocked(settling_problems(running, minutes, now=at))
    ended = running.started_at + timedelta(minutes=minutes)
    running.was_told = True
    return _written_down(running, until=ended, stopped_at=max(at, ended), note="Told afterwards")


@whole
def stop_timer_on(*, item: WorkItem, by, at: datetime) -> BenchTimer | None:
    """Stop a person's timer if it runs on this item, which they have just finished."""
    running = _held_timer(by)
    if running is None or running.item_id != item.pk or running.is_forgotten_at(at):
        return None
    return _stopped(running, at=at)


def running_timer(person) -> BenchTimer | None:
    return _running(connection.vendor).asking(person.pk).first()


def _held_timer(person) -> BenchTimer | None:
    """The running timer, nobody else's to stop before this transaction ends."""
    _person_held(connection.vendor).asking(person.pk).hold()
    return running_timer(person)


@beforehand
def _running(vendor: str) -> Worded:
    timers = BenchTimer.objects.running().filter(person=ASKED)
    return Worded.of(timers.select_related("person", "item__order__instrument", "item__closed_by"))


@beforehand
def _person_held(vendor: str) -> Worded:
    people = get_user_model().objects.select_for_update(no_key=True)
    return Worded.of(people.filter(pk=ASKED).values_list("pk"))


def _stopped(timer: BenchTimer, *, at: datetime) -> BenchTimer:
    if timer.is_forgotten_at(at):
        raise TimerForgotten(timer)
    at = max(at, timer.started_at)
    return _written_down(timer, until=at, stopped_at=at)


def _written_down(timer: BenchTimer, *, until: datetime, stopped_at: datetime, note: str = "") -> BenchTimer:
    started, ended = timezone.localtime(timer.started_at), timezone.localtime(until)
    days = minutes_by_day(started, ended)
    for day, minutes in days:
        log_time(
            item=timer.item,
            person=timer.person,
            minutes=minutes,
            by=timer.person,
            on=day,
            note=note or f"Timer, {started:%H:%M} to {ended:%H:%M}",
        )
    timer.stopped_at, timer.minutes = stopped_at, sum(minutes for _, minutes in days)
    timer.save(update_fields=["stopped_at", "minutes", "was_told"])
    return timer
