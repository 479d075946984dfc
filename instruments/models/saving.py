"""Rows that are saved in words put together once: everybody who saves waits for the one who saves now.

Django finds the same words anew for each row, which takes several times longer than the database to write it.
Its signals, defaults and checks are all as ever; only the sentence that is sent is kept.
"""

from collections.abc import Callable, Iterable
from functools import lru_cache

from django.db import connection, connections, models
from django.db.transaction import mark_for_rollback_on_error
from django.utils import timezone
from simple_history.models import HistoricalRecords
from simple_history.signals import post_create_historical_record, pre_create_historical_record

Field = models.Field


class SavedInWords(models.Model):
    """Base of what is written while the database is held."""

    class Meta:
        abstract = True

    def _do_update(self, base_qs, using, pk_val, values, update_fields, forced_update):
        told = [(field, value) for field, _, value in values]
        if not told or using != connection.alias or not _are_plain(told):
            return super()._do_update(base_qs, using, pk_val, values, update_fields, forced_update)
        words = _update(type(self)._meta.concrete_model, tuple(field for field, _ in told), connection.vendor)
        with connection.cursor() as cursor:
            cursor.execute(words, _prepared([*told, (self._meta.pk, pk_val)]))
            return cursor.rowcount > 0

    def _do_insert(self, manager, using, fields, returning_fields, raw):
        told = [] if raw else [(field, field.pre_save(self, True)) for field in fields]
        wanted = [field.attname for field in returning_fields]
        if not told or using != connection.alias or wanted != [self._meta.pk.attname] or not _are_plain(told):
            return super()._do_insert(manager, using, fields, returning_fields, raw)
        words = _insert(type(self)._meta.concrete_model, tuple(fields), connection.vendor)
        with connection.cursor() as cursor:
            cursor.execute(f"{words} RETURNING {_named(self._meta.pk)}", _prepared(told))
            return [cursor.fetchone()]


class KeptHistory(HistoricalRecords):
    """As its base, with a sentence that is filled in, where it makes a row and puts that into words."""

    def create_history_model(self, model, inherited):
        made = super().create_history_model(model, inherited)
        self.kept_in = {**getattr(self, "kept_in", {}), model: made}
        return made

    def create_historical_record(self, instance, history_type, using=None):
        kept = self.kept_in.get(type(instance))
        if kept is None or self.m2m_fields or using not in (None, connection.alias) or _is_listened_to(kept):
            super().create_historical_record(instance, history_type, using)
            return
        by = self.get_history_user(instance)
        told = {
            "history_date": getattr(instance, "_history_date", timezone.now()),
            "history_type": history_type,
            "history_user_id": by and by.pk,
            "history_change_reason": self.get_change_reason_for_object(instance, history_type, using),
        }
        told |= {field.attname: getattr(instance, field.attname) for field in self.fields_included(instance)}
        columns = [field for field in kept._meta.concrete_fields if field.attname in told]
        named = [(field, told[field.attname]) for field in columns]
        if not _are_plain(named):
            super().create_historical_record(instance, history_type, using)
            return
        words = _insert(kept, tuple(columns), connection.vendor)
        with mark_for_rollback_on_error(using=connection.alias), connection.cursor() as cursor:
            cursor.execute(words, _prepared(named))


def _is_listened_to(kept) -> bool:
    signals = (pre_create_historical_record, post_create_historical_record)
    return any(signal.has_listeners(kept) for signal in signals)


def _are_plain(told: Iterable[tuple[Field, object]]) -> bool:
    """Whether each is a value that goes where a mark stands, and no words of SQL."""
    return not any(hasattr(value, "resolve_expression") or _has_own_mark(field) for field, value in told)


def _has_own_mark(field: Field) -> bool:
    return hasattr(field, "get_placeholder")


def _prepared(told: Iterable[tuple[Field, object]]) -> list:
    here = connections[connection.alias]  # and not found anew for each
    return [field.get_db_prep_save(value, here) for field, value in told]


@lru_cache(maxsize=500)
def _insert(model: type[models.Model], fields: tuple[Field, ...], vendor: str) -> str:
    names = ", ".join(map(_named, fields))
    marks = ", ".join(["%s"] * len(fields))
    return f"INSERT INTO {_quoted(model._meta.db_table)} ({names}) VALUES ({marks})"  # noqa: S608


@lru_cache(maxsize=500)
def _update(model: type[models.Model], fields: tuple[Field, ...], vendor: str) -> str:
    values = ", ".join(f"{_named(field)} = %s" for field in fields)
    return f"UPDATE {_quoted(model._meta.db_table)} SET {values} WHERE {_named(model._meta.pk)} = %s"  # noqa: S608


def _named(field: Field) -> str:
    return _quoted(field.column)


def _quoted(name: str) -> str:
    quote: Callable[[str], str] = connection.ops.quote_name
    return quote(name)
