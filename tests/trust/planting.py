"""An adversary's text in every column that a person can fill, found by walking the models.

Text is put in as rows are made, before the program reads it again: so it is in what is printed, frozen and
sent as well. Each text ends with a breach, which becomes an element or an attribute of its own wherever
it is not printed as text, and with a code that says which column it came from: wherever the code turns up,
the whole text has to stand before it.
"""

import unicodedata
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache

from django.apps import apps
from django.contrib.auth.models import User
from django.core.exceptions import ValidationError
from django.db import models
from django.db.models import signals
from django.db.models.query import QuerySet

from tests.hostile import HOSTILE_TEXTS
from tests.trust.planting_reasons import LEFT_OUT, TAKEN_APART, WRITTEN_BY_THE_PROGRAM

APPS = {"instruments", "workorders", "shop"}
BREACH = "<w9>\"w9=' w9="
SHORT_BREACH = "<w9>"
DIGITS = "0123456789abcdefghijklmnopqrstuvwxyz"
MORE_TEXTS = [
    "</script><script>pwn('script')</script>",
    "<img src=x onerror=pwn('img')>",
    "<svg/onload=pwn('svg')>",
    "javascript:pwn('url')",
    "' onmouseover='pwn(1)' x='",
    '" autofocus onfocus="pwn(2)" x="',
    "]]>--><iframe srcdoc='<script>parent.pwn(3)</script>'></iframe>",
    "${pwn(4)} {{constructor.constructor('pwn(5)')()}} #{pwn(6)}",
    "{% load shop %}{{ settings.SECRET_KEY }}{% debug %}",
    "ש" * 30 + "\u202e",
    "🎹" * 30,
    "=1+1",
    "+1+1",
    "-1+1",
    "@SUM(1)",
    "\uff1d1+1",
    '=HYPERLINK("http://example.invalid/?"&A1,"x")',
    "BEGIN:VEVENT\r\nATTACH:http://example.invalid/\r\nEND:VEVENT",
    "Bcc: everybody@example.invalid\r\n\r\nA second letter",
    "{{7*7}} <%= 7*7 %> ${{7*7}}",
]
TOLD_APART = 4  # so many signs make room for the number of a row


def as_kept(text: str) -> str:
    """As a form would keep it: no NUL, no half of a surrogate pair, nothing around it."""
    return "".join(sign for sign in text if sign != "\0" and unicodedata.category(sign) != "Cs").strip()


TEXTS = [kept for kept in map(as_kept, HOSTILE_TEXTS + MORE_TEXTS) if kept]


@cache
def typed_columns() -> list[models.Field]:
    """Every column that takes words of a person, in a steady order."""
    return [field for field in text_columns() if not why_left_out(field)]


@cache
def text_columns() -> list[models.Field]:
    kinds = (models.CharField, models.TextField)
    ours = [
        model
        for model in apps.get_models()
        if model._meta.app_label in APPS and not model.__name__.startswith("Historical")
    ]
    fields = [
        field
        for model in ours
        for field in model._meta.concrete_fields
        if isinstance(field, kinds) and not isinstance(field, models.FileField)
    ]
    return sorted([*fields, *map(User._meta.get_field, ("first_name", "last_name"))], key=str)


def taken_apart(name: str) -> list[models.Field]:
    """Columns whose text that page shows in pieces, and means to."""
    shown_apart = {column for column, (names, _) in TAKEN_APART.items() if name in names or not names}
    return [field for field in typed_columns() if f"{field.model.__name__}.{field.name}" in shown_apart]


def why_left_out(field: models.Field) -> str:
    if field.choices:
        return "a choice"
    name = f"{field.model.__name__}.{field.name}"
    return WRITTEN_BY_THE_PROGRAM.get(name) or LEFT_OUT.get(name) or _refused_by(field)


def _refused_by(field: models.Field) -> str:
    """What the column's own check refuses, whatever form it stands in: an address, a slug."""
    try:
        field.clean("<w9>", None)
    except ValidationError:
        return "refused by the column's own check"
    return ""


@cache
def code_of(field: models.Field) -> str:
    place = text_columns().index(field)
    return f"~{DIGITS[place // 36]}{DIGITS[place % 36]}"


def text_for(field: models.Field, turn: int) -> str:
    """The column's text in that turn: as much of it as there is room for, the breach and the code whole."""
    place = text_columns().index(field)
    return fitted(field, TEXTS[(turn + place) % len(TEXTS)])


def turn_with(text: str, column: str) -> int:
    """The turn in which the column ("Instrument.maker") has that text."""
    names = [f"{field.model.__name__}.{field.name}" for field in text_columns()]
    return (TEXTS.index(text) - names.index(column)) % len(TEXTS)


def fitted(field: models.Field, text: str) -> str:
    room, tail = field.max_length or 4000, f"{BREACH}{code_of(field)}"
    if room < len(tail):
        tail = f"{SHORT_BREACH}{code_of(field)}"
    return f"{text[: max(0, room - len(tail))].strip()}{tail}"


@contextmanager
def planted(turn: int) -> Iterator[None]:
    """While this lasts, whatever row is saved gets the texts of this turn."""
    by_model: dict[type, list[models.Field]] = {}
    for field in typed_columns():
        by_model.setdefault(field.model, []).append(field)

    def plant(sender, instance, **kwargs):
        was = {}
        for field in by_model.get(sender, ()):
            text = text_for(field, turn)
            if is_told_apart(field):
                text = _told_apart(text, instance, sender)
            was[field.attname] = getattr(instance, field.attname)
            setattr(instance, field.attname, text)
        _give_way(instance, was)

    bulk_create = QuerySet.bulk_create

    def bulk_create_planted(rows, objs, *given, **named):
        objs = list(objs)
        for each in objs:
            plant(type(each), each)
        return bulk_create(rows, objs, *given, **named)

    signals.pre_save.connect(plant)
    QuerySet.bulk_create = bulk_create_planted
    try:
        yield
    finally:
        QuerySet.bulk_create = bulk_create
        signals.pre_save.disconnect(plant)


def _give_way(instance, was: dict[str, str]) -> None:
    """Where the database wants a column empty in this state of the row, what was there comes back."""
    for rule in instance._meta.constraints:
        if isinstance(rule, models.CheckConstraint) and was:
            named = {name for name in was if f"'{name}'" in repr(rule.condition)}
            try:
                if named:
                    rule.validate(type(instance), instance)
            except ValidationError:
                for name in named:
                    setattr(instance, name, was[name])


def is_told_apart(field: models.Field) -> bool:
    """Whether no two rows may have the same there."""
    rules = field.model._meta.constraints
    together = (rule.fields for rule in rules if isinstance(rule, models.UniqueConstraint))
    return field.unique or any(field.name in names for names in together)


def _told_apart(text: str, instance, model) -> str:
    """For a column that no two rows share: the row's number stands before it."""
    return f"{instance.pk or model._default_manager.count() + 1} {text[TOLD_APART:]}"
