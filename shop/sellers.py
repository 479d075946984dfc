"""Finding out whether a seller is somebody the shop knows already."""

from collections.abc import Iterable

from instruments.models import folded
from shop.models import Person

MOST_OFFERED = 6


def people_like(typed: str) -> list[Person]:
    """A few people whose card holds every word typed; none before two letters stand."""
    return list(Person.objects.standing().search(typed)[:MOST_OFFERED]) if len(typed.strip()) > 1 else []


def of_that_name(typed: str, people: Iterable[Person]) -> list[Person]:
    return [person for person in people if folded(person.name) == folded(typed.strip())]
