"""Where in free words a person's name stands: notes of the bench and of instruments, which erasing leaves.

Nobody but the shop can say whether such words speak of this person, and many kinds are never changed once
written. So the owner is shown the places before the name is gone.
"""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from django.apps import apps
from django.db import models
from django.db.models import Q

from shop.models import Person
from shop.person_rows import LEFT_OUT, ROWS, text_columns

APPS = ("instruments", "workorders", "shop")
MOST_PLACES, MOST_OF_A_KIND = 60, 15
FEWEST_LETTERS = 4
AROUND = 40
LEADS_ON = ("item", "order", "call_back", "sale", "trial", "report", "survey", "finding", "instrument")


@dataclass(frozen=True)
class Place:
    """One row whose words name them: what it is, the words around the name, and where to look."""

    what: str
    words: str
    url: str


def names_of(person: Person) -> list[str]:
    """Each name on their cards, and the last word of it, by which people are spoken of."""
    names = {card.name.strip() for card in person.rows()}
    last = {name.split()[-1] for name in names if 1 < len(name.split()) <= 3}
    return sorted(each for each in names | last if len(each) >= FEWEST_LETTERS)


def places_of(person: Person) -> tuple[list[Place], bool]:
    """The first of them, and whether there are more."""
    names = names_of(person)
    if not names:
        return [], False
    whole = "|".join(re.escape(name) for name in sorted(names, key=len, reverse=True))
    pattern = re.compile(rf"(?<!\w)(?:{whole})(?!\w)", re.IGNORECASE)
    found = [place for model in _kinds() for place in _places_in(model, person, names, pattern)]
    return found[:MOST_PLACES], len(found) > MOST_PLACES


def _kinds() -> Iterator[type[models.Model]]:
    for model in apps.get_models():
        if model._meta.app_label in APPS and model not in LEFT_OUT and not hasattr(model, "history_type"):
            yield model


def _places_in(model, person: Person, names: list[str], pattern: re.Pattern) -> Iterator[Place]:
    columns = [each.name for each in text_columns(model) if not isinstance(each, models.JSONField)]
    named = Q()
    for column in columns:
        for name in names:
            named |= Q(**{f"{column}__icontains": name})
    found = list(model._default_manager.filter(named).order_by("-pk")[:MOST_OF_A_KIND]) if named else []
    reached = _reached(model, person) if found else set()
    for row in found:
        for column in columns:
            match = pattern.search(getattr(row, column) or "")
            if match and (row.pk, column) not in reached:
                what = str(model._meta.verbose_name)
                yield Place(what[:1].upper() + what[1:], _around(match), url_of(row))
                break


def _reached(model, person: Person) -> set[tuple[int, str]]:
    """The row and column of words that erasing takes away, at once or on their day."""
    return {
        (key, column)
        for rows in ROWS
        if rows.model is model
        for key in rows.of(person).values_list("pk", flat=True)
        for column in rows.words
    }


def _around(match: re.Match) -> str:
    text, start, end = match.string, match.start() - AROUND, match.end() + AROUND
    words = " ".join(text[max(0, start) : end].split())
    return f"{'…' if start > 0 else ''}{words}{'…' if end < len(text) else ''}"


def url_of(row: models.Model) -> str:
    """The page of the row, or of what it belongs to; "" where there is none."""
    for _ in range(3):
        if hasattr(row, "get_absolute_url"):
            return row.get_absolute_url()
        following = next((getattr(row, name, None) for name in LEADS_ON if getattr(row, name, None)), None)
        if following is None:
            return ""
        row = following
    return ""
