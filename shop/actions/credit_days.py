"""The days of credit: what is left of each part of it, until when, and taking off what ran out."""

from datetime import date

from django.db import transaction

from instruments.problems import Refused
from shop.actions.ledger import NotEnough, enter_credit, lock_person
from shop.calc.credit_terms import Lot, lots_left
from shop.models import Person, Promise
from shop.states import CreditKind


@transaction.atomic
def expire_credit(*, person: Person, told: str, by, on: date) -> int:
    """The owner takes what has run out off somebody's credit, and says how they were told. Returns how much.

    Nothing runs out by itself. Until this is done the credit can be spent or paid out like any other.
    """
    if not by.has_perm("shop.run_shop"):
        raise Refused("Only the owner may take off credit that has run out.")
    if not told.strip():
        raise Refused("Say how and when they were told that it runs out.", about=("told",))
    person = lock_person(person)
    over = [lot for lot in lots_of(person) if lot.runs_out_on and lot.runs_out_on < on]
    if not over:
        raise NotEnough(f"Nothing of the credit of {person} has run out.")
    sources = Promise.objects.in_bulk([lot.source for lot in over])
    for lot in over:
        note = f"{told.strip()}, last day {lot.runs_out_on:%-d %B %Y}"
        enter_credit(person, sources[lot.source], CreditKind.EXPIRED, -lot.amount_minor, note[:200], by, on)
    return sum(lot.amount_minor for lot in over)


def lots_of(person: Person) -> list[Lot]:
    """What is left of each credit that arose, what runs out first before the rest."""
    return lots_left(
        person.whole("credit_entries").order_by("id").values_list("amount_minor", "promise_id", "runs_out_on")
    )
