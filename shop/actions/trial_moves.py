"""Where the instrument of a home trial is: with them from its delivery, with us from its collection."""

from datetime import date

from django.db.models import QuerySet

from instruments.actions.moves import move_instrument
from instruments.models import Instrument
from instruments.models.worded import ASKED, of_one
from instruments.states import Place
from shop.models import MoverBooking, Trial
from shop.trial_states import Leg

BACK = "back from trial"


def take_out(*, trial: Trial, by, on: date) -> None:
    """It stands with the customer, if the record does not say so already."""
    (stands,) = _place_of(trial.instrument_id).alone()
    if stands != (Place.CUSTOMER, trial.number):
        move_instrument(instrument=trial.instrument, place=Place.CUSTOMER, note=trial.number, by=by, on=on)


def take_out_if_it_leaves_today(*, trial: Trial, by, on: date) -> None:
    """At the start: not while a mover is agreed for a later day, or its first day is still to come."""
    if (_agreed_day(trial, Leg.OUT) or trial.starts_on) <= on:
        take_out(trial=trial, by=by, on=on)


def bring_back(*, trial: Trial, by, on: date) -> None:
    """It stands with us, if it is not back already, or never left."""
    if Instrument.objects.get(pk=trial.instrument_id).place == Place.CUSTOMER:
        move_instrument(instrument=trial.instrument, place=Place.WORKSHOP, note=BACK, by=by, on=on)


def bring_back_unless_fetched_later(*, trial: Trial, by, on: date) -> None:
    """At the end: it stays with the customer until the day agreed with the mover."""
    fetched_on = _agreed_day(trial, Leg.BACK)
    if fetched_on is None or fetched_on <= on:
        bring_back(trial=trial, by=by, on=on)


def _agreed_day(trial: Trial, leg: str) -> date | None:
    return next((day for of, day in _booked_days(trial.pk).alone() if of == leg), None)


@of_one
def _booked_days() -> QuerySet:
    """The newest first."""
    return MoverBooking.objects.filter(trial=ASKED).values_list("leg", "day")


@of_one
def _place_of() -> QuerySet:
    return Instrument.objects.filter(pk=ASKED).order_by().values_list("place", "place_note")
