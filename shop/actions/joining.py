"""Joining two cards of one person, and parting them again.

Nothing written is moved: payments, sales and papers keep the card they were written under. The card that is
joined points at the one that stands, never further: pointers are flattened here, so one step finds it.
"""

from collections.abc import Iterable, Mapping
from datetime import date

from django.db import transaction
from django.db.models import Q

from instruments.actions.history import save_tracked
from instruments.problems import Refused, refuse_if_blocked
from shop.actions.waiting_list import leave_waiting_list
from shop.models import Person
from shop.person_problems import joining_problems, parting_problems


@transaction.atomic
def join_cards(
    *, double: Person, into: Person, facts: Mapping[str, str], reason: str, by, on: date
) -> Person:
    """From now on both are one person, with `facts` on the card that stands. Returns that card."""
    cards = _hold_cards(double.pk, into.pk)
    double, into = cards[double.pk], cards[into.pk]
    refuse_if_blocked(joining_problems(double, into))
    if not reason.strip():
        raise Refused("Say how we know that they are one person.")
    _close_later_places(double, into, by=by, on=on)
    for card in [*(card for card in cards.values() if card.merged_into_id == double.pk), double]:
        card.merged_into = into
        save_tracked(card, by=by, why=f"Joined with the card of {into.name}, no. {into.pk}: {reason}")
    for name, value in facts.items():
        setattr(into, name, value)
    save_tracked(into, by=by, why=f"Joined with the card of {double.name}, no. {double.pk}: {reason}")
    return into


@transaction.atomic
def part_cards(*, double: Person, reason: str, by) -> Person:
    """Two people after all. Refused once something was written across both cards."""
    cards = _hold_cards(double.pk)
    double = cards[double.pk]
    refuse_if_blocked(parting_problems(double))
    if not reason.strip():
        raise Refused("Say how we know that they are two.")
    stood = cards[double.merged_into_id]
    double.merged_into = None
    save_tracked(double, by=by, why=f"Parted from the card of {stood.name}, no. {stood.pk}: {reason}")
    save_tracked(stood, by=by, why=f"The card of {double.name}, no. {double.pk}, parted from it: {reason}")
    return double


def _hold_cards(*keys: int) -> dict[int, Person]:
    """Every card of these people, locked in the order of their numbers.

    A payment holds one card and waits for no other, so whoever comes second here only waits.
    """
    while True:
        roots = {card.standing_id for card in Person.objects.filter(pk__in=keys)}
        wanted = Q(pk__in=roots) | Q(merged_into__in=roots)
        found = set(Person.objects.filter(wanted).order_by().values_list("pk", flat=True))
        held = Person.objects.select_for_update().filter(pk__in=found).order_by("pk")
        cards = {card.pk: card for card in held}
        if _is_whole(cards.values()):
            return cards


def _is_whole(cards: Iterable[Person]) -> bool:
    """Whether, now that they are held, no card of these people has been left out."""
    cards = list(cards)
    held = {card.pk for card in cards}
    joined = Person.objects.filter(merged_into__in=held).exclude(pk__in=held).exists()
    return not joined and all(card.merged_into_id in held | {None} for card in cards)


def _close_later_places(double: Person, into: Person, *, by, on: date) -> None:
    """One person waits once for one instrument: at the earlier of two places."""
    places = [*double.whole("waiting_places").open(), *into.whole("waiting_places").open()]
    seen = set()
    for place in sorted(places, key=lambda place: place.pk):
        if place.instrument_id in seen:
            leave_waiting_list(place=place, by=by, on=on)
        seen.add(place.instrument_id)
