"""Places behind an open promise, in the order in which people joined."""

from datetime import date

from django.db import IntegrityError, transaction
from django.db.models import QuerySet

from instruments.actions.history import save_tracked
from instruments.actions.whole import whole
from instruments.models import Instrument
from instruments.models.worded import ASKED, of_one
from instruments.problems import Refused
from shop.models import Person, Promise, WaitingPlace
from shop.states import WaitingOutcome


@whole
def join_waiting_list(
    *, instrument: Instrument, person: Person, note: str = "", by, on: date
) -> WaitingPlace:
    """Put somebody behind whoever has the instrument; the constraint keeps a person to one place."""
    promise = Promise.objects.open().filter(instrument=instrument).first()
    if promise is None:
        raise Refused("Nobody has it now: hold it for them instead.")
    if person.rows().filter(pk=promise.person_id).exists():
        raise Refused(f"It is promised to {person} already.")
    if person.whole("waiting_places").open().filter(instrument=instrument).exists():
        raise Refused(f"{person} waits for it already.")
    place = WaitingPlace(instrument=instrument, person=person, note=note, since=on, added_by=by)
    try:
        with transaction.atomic():
            save_tracked(place, by=by, why=f"{person} joined the waiting list")
    except IntegrityError:
        raise Refused(f"{person} waits for it already.") from None
    return place


@whole
def leave_waiting_list(*, place: WaitingPlace, by, on: date) -> WaitingPlace:
    return _close(place, WaitingOutcome.LEFT, "left the waiting list", by, on)


def serve(*, instrument: Instrument, person: Person, by, on: date) -> None:
    """Whoever is promised what they waited for waits no longer. Runs inside the act that promises."""
    if not (waiting := _open_places(instrument.pk).alone()):
        return
    cards = set(person.rows().values_list("pk", flat=True))
    for place in waiting:
        if place.person_id in cards:
            _close(place, WaitingOutcome.SERVED, "was promised what they waited for", by, on)


@of_one
def _open_places() -> QuerySet[WaitingPlace]:
    return WaitingPlace.objects.open().filter(instrument=ASKED)


def _close(place: WaitingPlace, outcome: str, what: str, by, on: date) -> WaitingPlace:
    locked = WaitingPlace.objects.select_for_update().get(pk=place.pk)
    if locked.closed_on:
        raise Refused(f"That place was closed before: {locked.get_outcome_display().lower()}.")
    locked.outcome, locked.closed_on = outcome, on
    save_tracked(locked, by=by, why=f"{locked.person} {what}")
    return locked
