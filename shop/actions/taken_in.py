"""A customer's own instrument comes in for work, and goes home again."""

from collections.abc import Iterable, Mapping
from datetime import date

from django.db import transaction

from instruments.actions.history import save_tracked
from instruments.actions.intake import create_instrument
from instruments.actions.numbers import next_number
from instruments.actions.photos import attach_pictures
from instruments.models import ConditionReport, Instrument
from instruments.problems import Blocked, Blocker, refuse_if_blocked
from shop.models import Person, ShopProfile, TakenIn
from shop.ownership_problems import handing_back_problems, taking_in_problems

SERIES, PREFIX = "customers", "C"


@transaction.atomic
def log_customers_instrument(
    *, identity: Mapping, person: Person, pictures: Iterable[Mapping] = (), by, on: date, **paper
) -> TakenIn:
    """Log an instrument that stays its owner's, by a number of the customers' series, and take it in."""
    identity = ShopProfile.current().usual_touch | identity
    instrument = create_instrument(by=by, on=on, series=SERIES, prefix=PREFIX, **identity)
    attach_pictures(instrument=instrument, pictures=pictures, by=by)
    return _take_in(instrument, person, was_ours=False, by=by, on=on, **paper)


@transaction.atomic
def take_in(*, instrument: Instrument, person: Person, by, on: date, **paper) -> TakenIn:
    """Take in a piano that has been here before: a customer's own, or one the shop sold."""
    Instrument.objects.select_for_update(no_key=True).get(pk=instrument.pk)
    refuse_if_blocked(taking_in_problems(instrument))
    was_ours = not TakenIn.objects.filter(instrument=instrument, was_ours=False).exists()
    return _take_in(instrument, person, was_ours=was_ours, by=by, on=on, **paper)


@transaction.atomic
def hand_back(*, taken_in: TakenIn, to: str, note: str = "", by, on: date) -> TakenIn:
    """The owner has it again; work still open on it stops this."""
    current = TakenIn.objects.select_for_update(of=("self",)).select_related("instrument", "person")
    current = current.get(pk=taken_in.pk)
    refuse_if_blocked(handing_back_problems(current))
    if on < current.taken_in_on:
        raise Blocked([Blocker("It cannot go back before it came in.")])
    current.handed_back_on, current.handed_back_by = on, by
    current.handed_back_to, current.handed_back_note = to, note
    save_tracked(current, by=by, why=f"{current.number} handed back to {to}")
    return current


def _take_in(
    instrument: Instrument,
    person: Person,
    *,
    was_ours: bool,
    until: date,
    condition: str,
    accessories: str = "",
    terms: str = "",
    report: ConditionReport | None = None,
    by,
    on: date,
) -> TakenIn:
    taken_in = TakenIn(
        number=next_number("taken_in", on=on, prefix="R"),
        instrument=instrument,
        person=person,
        was_ours=was_ours,
        taken_in_on=on,
        until=until,
        condition=condition,
        accessories=accessories,
        terms=terms,
        report=report,
        taken_in_by=by,
    )
    why = f"{taken_in.number}: {instrument.stock_number} taken in for {person}"
    save_tracked(taken_in, by=by, why=why)
    return taken_in
