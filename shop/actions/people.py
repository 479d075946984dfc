from django.db import transaction

from instruments.actions.history import save_tracked
from instruments.problems import Refused
from shop.models import Person


@transaction.atomic
def add_person(*, by, **card) -> Person:
    person = Person(**card)
    save_tracked(person, by=by, why=f"{person.name} added")
    return person


@transaction.atomic
def correct_person(*, person: Person, by, **card) -> Person:
    if Person.objects.filter(pk=person.pk, closed_on__isnull=False).exists():
        raise Refused("Their data was erased. Make a new card if they deal with us again.")
    for field, value in card.items():
        setattr(person, field, value)
    save_tracked(person, by=by, why=f"Card of {person.name} corrected")
    return person
