"""Opening and closing the shop's word on one instrument."""

from datetime import date

from django.db import IntegrityError, transaction
from django.utils import timezone

from instruments.actions.history import save_tracked
from instruments.models import Instrument
from instruments.problems import Blocked, Refused, refuse_if_blocked
from shop.actions.ledger import lock_person, release_to_credit, take_payment, value_in
from shop.actions.waiting_list import serve
from shop.models import Listing, Person, Promise
from shop.problems import ACT_OF, dealing_problems, promise_problems
from shop.states import ListingState, PromiseKind, PromiseOutcome


class AlreadyClosed(Refused):
    """Somebody ended this promise first."""


def open_promise(
    *,
    instrument: Instrument,
    person: Person,
    kind: str,
    price_minor: int | None,
    until: date | None = None,
    note: str = "",
    by,
    on: date,
) -> Promise:
    """Promise an instrument to one person. Raises Blocked when it is promised or may not be dealt in.

    The partial unique constraint decides between two at the same moment; the loser is told who has it.
    """
    refuse_if_blocked(dealing_problems(instrument, act=ACT_OF[kind]))
    promise = Promise(
        instrument=instrument,
        person=person,
        kind=kind,
        price_minor=price_minor,
        until=until,
        note=note,
        opened_on=on,
        opened_by=by,
    )
    try:
        with transaction.atomic():
            save_tracked(promise, by=by, why=f"{PromiseKind(kind).label} for {person} opened")
            serve(instrument=instrument, person=person, by=by, on=on)
            if kind != PromiseKind.HOLD:
                withdraw_listing_of(
                    instrument, by=by, why=f"Left the window: {PromiseKind(kind).label.lower()}"
                )
    except IntegrityError:
        problems = promise_problems(instrument)
        if not problems:
            raise
        raise Blocked(problems) from None
    return promise


def close_promise(*, promise: Promise, outcome: str, by) -> Promise:
    """Close an open promise once. Must run inside the transaction of the act that closes it."""
    locked = Promise.objects.select_for_update().get(pk=promise.pk)
    if not locked.is_open:
        raise AlreadyClosed(
            f"{locked.get_kind_display()} was ended before: {locked.get_outcome_display().lower()}."
        )
    locked.outcome, locked.closed_at, locked.closed_by = outcome, timezone.now(), by
    save_tracked(locked, by=by, why=f"{locked.get_kind_display()}: {PromiseOutcome(outcome).label.lower()}")
    return locked


def withdraw_listing_of(instrument: Instrument, *, by, why: str) -> None:
    listing = Listing.objects.filter(instrument=instrument, state=ListingState.PUBLISHED).first()
    if listing:
        listing.state = ListingState.WITHDRAWN
        save_tracked(listing, by=by, why=why)


@transaction.atomic
def place_hold(
    *,
    instrument: Instrument,
    person: Person,
    until: date,
    deposit_minor: int = 0,
    method: str = "",
    note: str = "",
    by,
    on: date,
) -> Promise:
    """Keep an instrument for one person until a day, with a deposit if one was taken."""
    lock_person(person)
    promise = open_promise(
        instrument=instrument,
        person=person,
        kind=PromiseKind.HOLD,
        price_minor=None,
        until=until,
        note=note,
        by=by,
        on=on,
    )
    if deposit_minor:
        take_payment(promise=promise, amount_minor=deposit_minor, method=method, by=by, on=on)
    return promise


@transaction.atomic
def extend_hold(*, promise: Promise, until: date, why: str, by) -> Promise:
    """Move the end of an open hold to a later day, with what was written between the two."""
    locked = Promise.objects.select_for_update().get(pk=promise.pk)
    if not locked.is_open:
        raise AlreadyClosed(f"The hold was ended before: {locked.get_outcome_display().lower()}.")
    if until <= locked.until:
        raise Refused(f"It is held until {locked.until:%-d %B %Y} already. Give a later day.")
    locked.until = until
    save_tracked(locked, by=by, why=f"Hold extended to {until:%-d %B %Y} in writing: {why}")
    return locked


@transaction.atomic
def release_hold(*, promise: Promise, by, on: date) -> Promise:
    """End a hold; what was paid on it becomes the person's credit."""
    lock_person(promise.person)
    closed = close_promise(promise=promise, outcome=PromiseOutcome.LAPSED, by=by)
    release_to_credit(promise=closed, amount_minor=value_in(closed), note="Hold released", by=by, on=on)
    return closed
