"""The value of any field as a person reads it: a choice by its name, a day in words, a person by name."""

from collections import defaultdict
from collections.abc import Iterable
from datetime import date, datetime
from decimal import Decimal

from django.db.models import Field, ForeignKey, Model
from django.utils import timezone

from instruments.calc import edtf
from instruments.calc.compass import note_label
from instruments.calc.exact import plain
from workorders.currency import in_words

NOTHING = "nothing"
SPELLED = {"email": "e-mail"}
HALF_KNOWN = {"made"}
NOTES = {"low_key", "high_key", "bass", "treble"}
NOT_SHOWN = {
    *("id", "sha256", "original", "thumb", "medium", "page", "print", "byte_count"),
    *("copy", "copy_type", "duration_ms", "starts_ms", "loudness_lufs"),
}


def shown_fields(model: type[Model]) -> list[Field]:
    """What a person enters or a state that they bring about; not what is worked out from these."""
    return [
        field
        for field in model._meta.concrete_fields
        if field.name not in NOT_SHOWN and (field.editable or field.is_relation)
    ]


class FieldWords:
    """Words for the fields of these history rows; whatever they point at is fetched once for each model."""

    def __init__(self, rows: Iterable[Model]):
        wanted = defaultdict(set)
        for row in rows:
            for field in shown_fields(row.instance_type):
                if isinstance(field, ForeignKey) and (key := getattr(row, field.attname)):
                    wanted[field.related_model].add(key)
        self._pointed_at = {model: model._base_manager.in_bulk(keys) for model, keys in wanted.items()}

    def title(self, row: Model) -> str:
        return str(getattr(row, "number", "") or getattr(row, "name", "") or "")

    def label(self, field: Field) -> str:
        name = str(field.verbose_name).removesuffix(" minor").replace("_", " ")
        name = SPELLED.get(name, name)
        return name[:1].upper() + name[1:]

    def of(self, field: Field, value) -> str:
        if value is None or value == "":
            return NOTHING
        if isinstance(field, ForeignKey):
            return self._person_or_row(self._pointed_at.get(field.related_model, {}).get(value), value)
        if field.choices:
            return str(dict(field.flatchoices).get(value, value))
        if field.name.endswith("_minor"):
            return in_words(value)
        if field.name in NOTES:
            return note_label(value)
        if field.name in HALF_KNOWN:
            return _half_known(value)
        return _plain(value)

    def _person_or_row(self, row: Model | None, key) -> str:
        if row is None:
            return f"number {key}"
        return getattr(row, "get_full_name", lambda: "")() or _without_relations(row)


def _without_relations(row: Model) -> str:
    """A short name that asks the database nothing."""
    for name in ("number", "name", "caption", "username", "stock_number"):
        if words := getattr(row, name, ""):
            return str(words)
    return f"{row._meta.verbose_name} {row.pk}"


def _half_known(value: str) -> str:
    try:
        return edtf.describe(value)
    except ValueError:
        return value


def _plain(value) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, datetime):
        return f"{timezone.localtime(value):%-d %B %Y, %H:%M}"
    if isinstance(value, date):
        return f"{value:%-d %B %Y}"
    return plain(value) if isinstance(value, Decimal) else str(value)
