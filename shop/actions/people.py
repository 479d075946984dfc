from django.db import transaction

from instruments.actions.history import save_tracked
from shop.models import Person


@transaction.atomic
def add_person(*, by, **card) -> Person:
    person = Person(**card)
    save_tracked(person, by=by, why=f"{person.name} added")
    return person


@transaction.atomic
def correct_person(*, person: Person, by, **card) -> Person:
    for field, value in card.items():
        setattr(person, field, value)
    save_tracked(person, by=by, why=f"Card of {person.name} corrected")
    return person
