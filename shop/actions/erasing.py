"""Taking away what a person asked to be taken away, at once or when its day has come. Money never changes.

Every sum, day and number of the books stays. Words about the person go: of what is tracked with its history,
of what is only ever added to by the one narrow update that its guard lets pass, with a stone beside it.
"""

import re
from datetime import date

from django.apps import apps
from django.core.files.storage import default_storage
from django.db import models, transaction

from instruments.actions.chain import row_hash
from instruments.actions.history import save_tracked
from instruments.models import AppendOnly
from instruments.photos import FILES
from instruments.problems import Refused, refuse_if_blocked
from shop.actions.ledger import lock_person
from shop.erasing_problems import erasing_problems
from shop.models import Erasure, ErasureKind, LeadPhoto, Person, PhotoLink, Removal
from shop.person_rows import ERASED, NOW, ROWS, Rows
from shop.retention import kept_of, kept_until

MARK = f"[{ERASED}]"
CONTACT = ("address", "telephone", "email", "note")
APPS = ("instruments", "workorders", "shop")


@transaction.atomic
def erase_person(*, person: Person, asked_how: str, asked_on: date, by, on: date) -> Erasure:
    """Contact data, wishes, places and offers go at once; the books keep what they must, until its day."""
    if not by.has_perm("shop.run_shop"):
        raise Refused("Only the owner erases what is kept about a person.")
    person = lock_person(person)
    refuse_if_blocked(erasing_problems(person, on=on))
    names = [card.name for card in person.rows()]
    kept = kept_of(person)
    erasure = Erasure.objects.create(
        person=person,
        kind=ErasureKind.CLOSED if kept else ErasureKind.WHOLE,
        asked_how=asked_how,
        asked_on=asked_on,
        kept_for=sorted({group for group, _ in kept}),
        kept_until=kept_until(person) if kept else None,
        erased_on=on,
        erased_by=by,
    )
    for rows in ROWS:
        if rows.goes == NOW:
            _clear(rows, person, erasure)
    _empty_cards(person, by=by, on=on)
    _take_out_of_reasons(names)
    return erasure


@transaction.atomic
def remove_kept(*, person: Person, on: date) -> Erasure:
    """What was kept has passed its day: its words go, the files of its papers with them."""
    person = lock_person(person)
    asked = person.whole("erasures").exclude(kind=ErasureKind.DUE).first()
    until = kept_until(person)
    if asked is None or until is None or until > on:
        raise Refused("Its day has not come.")
    if due := person.whole("erasures").filter(kind=ErasureKind.DUE).first():
        return due
    erasure = Erasure.objects.create(
        person=person, kind=ErasureKind.DUE, erased_on=on, erased_by=asked.erased_by
    )
    # Found before any is cleared: some are found by the words of others.
    found = [(rows, list(rows.of(person).values_list("pk", flat=True))) for rows in ROWS if rows.goes != NOW]
    for rows, keys in found:
        for row in rows.model._default_manager.filter(pk__in=keys):
            clear_row(rows, row, erasure)
    return erasure


def _clear(rows: Rows, person: Person, erasure: Erasure) -> None:
    for row in rows.of(person):
        if rows.model is PhotoLink:
            close_link(row)
        elif rows.deleted:
            delete_row(row)
        else:
            clear_row(rows, row, erasure)


def clear_row(rows: Rows, row: models.Model, erasure: Erasure | None) -> None:
    """Its words, and those of its history. What is only ever added to keeps a stone of the erasure."""
    words = {name: _mark(row, name) for name in rows.words if getattr(row, name)}
    whole = type(row)._default_manager.filter(pk=row.pk)
    file = getattr(row, "file", None)
    if isinstance(row, AppendOnly):
        if words or file:
            whole.update(**words)
            _put_stone(row, file, erasure)
    elif words:
        whole.update(**words)
    if file:
        _delete_files([file.name])
    _clear_history(row, rows.words)


def _mark(row: models.Model, name: str):
    """What stands where a word stood; what no two rows may share keeps its number."""
    value, column = getattr(row, name), row._meta.get_field(name)
    if isinstance(column, models.JSONField):
        return type(value)()
    if isinstance(row, AppendOnly):
        return f"[{ERASED} {row.pk}]" if isinstance(column, models.EmailField) else MARK
    return "" if name in CONTACT and column.blank else MARK


def _put_stone(row: AppendOnly, file, erasure: Erasure) -> None:
    Removal.objects.create(
        erasure=erasure,
        kind=row._meta.label_lower,
        row=row.pk,
        row_sha256=row_hash(row),
        file_sha256=row.sha256 if file else "",
        removed_on=erasure.erased_on,
    )


def _clear_history(row: models.Model, names: list[str]) -> None:
    """Every version that was kept of a tracked row says as little as the row does now, and not why."""
    if not hasattr(row, "history"):
        return
    for version in row.history.all():
        words = {name: _mark(row, name) for name in names if getattr(version, name, None)}
        if version.history_change_reason:
            words["history_change_reason"] = MARK
        if words:
            type(version).objects.filter(pk=version.pk).update(**words)


def close_link(link: PhotoLink) -> None:
    if link.closed_at is None:
        link.closed_at = link.made_at
        link.save(update_fields=["closed_at"])


def delete_row(row: models.Model) -> None:
    key = row.pk
    if isinstance(row, LeadPhoto):
        _delete_files([getattr(row, name).name for name in FILES if getattr(row, name)])
    row.delete()
    if hasattr(row, "history"):  # last, since deleting writes a version of its own
        type(row).history.filter(id=key).delete()


def _delete_files(names: list[str]) -> None:
    """When the rows have gone for certain."""
    for name in names:
        transaction.on_commit(lambda name=name: default_storage.delete(name))


def _empty_cards(person: Person, *, by, on: date) -> None:
    for card in sorted(person.rows(), key=lambda card: card.pk == person.pk):
        card.history.all().delete()
        card.name = f"Person erased on {on:%-d %B %Y}, no. {card.pk}"
        card.address = card.telephone = card.email = card.note = ""
        card.closed_on = on
        save_tracked(card, by=by, why="Erased at their own request")
    # The card that stands came last, so its words to find it by are made of emptied ones.


def _take_out_of_reasons(names: list[str]) -> None:
    """The reason noted beside a change of any row may name them."""
    whole = [re.compile(rf"(?<!\w){re.escape(name)}(?!\w)", re.IGNORECASE) for name in names if name.strip()]
    for model in apps.get_models():
        if model._meta.app_label not in APPS or not hasattr(model, "history_change_reason"):
            continue
        for name, pattern in zip(names, whole, strict=True):
            for version in model.objects.filter(history_change_reason__icontains=name):
                reason = pattern.sub(MARK, version.history_change_reason)
                model.objects.filter(pk=version.pk).update(history_change_reason=reason)
