"""The days of a hold or a home trial that go into somebody's calendar: its end, and who comes when."""

from itertools import pairwise

from shop.calc.icalendar import CalendarDay
from shop.models import MoverBooking, Promise, ShopProfile, Trial
from shop.states import PromiseKind, PromiseOutcome, TrialState
from shop.trial_states import Leg

ENDS = {PromiseKind.HOLD: "Hold ends", PromiseKind.TRIAL: "Home trial ends: keep, exchange or return"}
LEGS = {Leg.OUT: "Bring", Leg.BACK: "Fetch"}


def calendar_days(promise: Promise) -> list[CalendarDay]:
    """What is still to come of it; empty where nothing is."""
    days = [_end(promise)] if promise.is_open and promise.kind in ENDS else []
    trial = Trial.objects.filter(promise=promise).first()
    return [*days, *(_moves(trial) if trial else [])]


def _end(promise: Promise) -> CalendarDay:
    return CalendarDay(
        uid=_uid(promise, f"promise-{promise.pk}"),
        day=promise.until,
        summary=f"{ENDS[promise.kind]}: {_named(promise)}",
        revision=_times_moved(promise),
        description=_lines(str(promise.person), promise.note),
    )


def _moves(trial: Trial) -> list[CalendarDay]:
    """A delivery and a collection that are agreed with a mover and not written down yet."""
    done = {
        Leg.OUT: trial.state != TrialState.OUT or trial.trialdelivery_rows.exists(),
        Leg.BACK: trial.outcome == PromiseOutcome.KEPT or trial.trialcollection_rows.exists(),
    }
    bookings = list(trial.moverbooking_rows.all())
    legs = [(leg, [each for each in bookings if each.leg == leg]) for leg in LEGS if not done[leg]]
    return [_move(trial, found[0], len(found) - 1) for _, found in legs if found]


def _move(trial: Trial, booking: MoverBooking, revision: int) -> CalendarDay:
    where = " ".join(trial.address.split())
    return CalendarDay(
        uid=_uid(trial.promise, f"trial-{trial.number}-{booking.leg}"),
        day=booking.day,
        summary=f"{LEGS[booking.leg]} {_named(trial.promise)}, {trial.number}",
        revision=revision,
        description=_lines(booking.mover, booking.note, str(trial.person), trial.person.telephone, where),
    )


def _lines(*lines: str) -> str:
    shop = ShopProfile.current()
    return "\n".join(filter(None, [*lines, shop.name, shop.telephone]))


def _uid(promise: Promise, name: str) -> str:
    return f"{name}@{promise.instrument.stock_number}.wrestplank"


def _named(promise: Promise) -> str:
    return f"{promise.instrument.maker_name} {promise.instrument.stock_number}"


def _times_moved(promise: Promise) -> int:
    """How often its end was put off: its history tells each version, in order."""
    ends = list(promise.history.order_by("history_id").values_list("until", flat=True))
    return sum(before != after for before, after in pairwise(ends))
