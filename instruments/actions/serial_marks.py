"""The shop's own serial marks: each change with who made it and when."""

from collections.abc import Iterable, Mapping

from django.db import transaction
from simple_history.utils import bulk_create_with_history

from instruments.actions.history import save_tracked
from instruments.models import SerialMark

AT_ONCE = 100


@transaction.atomic
def add_serial_mark(*, by, **fields) -> SerialMark:
    mark = SerialMark(**fields)
    save_tracked(mark, by=by, why=f"Serial mark added: {mark}")
    return mark


@transaction.atomic
def edit_serial_mark(*, mark: SerialMark, by, **fields) -> SerialMark:
    before = str(mark)
    for name, value in fields.items():
        setattr(mark, name, value)
    save_tracked(mark, by=by, why=f"Serial mark changed: {before} → {mark}")
    return mark


@transaction.atomic
def remove_serial_mark(*, mark: SerialMark, by) -> None:
    """Take a mark out. Its history stays, with who took it out."""
    mark._history_user = by
    mark._change_reason = f"Serial mark taken out: {mark}"
    mark.delete()


@transaction.atomic
def add_serial_marks(*, rows: Iterable[Mapping], by) -> list[SerialMark]:
    """Add all the rows; those on file already, by maker, number, year and source, are left as they are.

    In few statements, each mark with its history: nobody else can write while a long table goes in.
    """
    have = set(SerialMark.objects.values_list("maker_folded", "serial", "year", "source"))
    added = []
    for row in rows:
        mark = SerialMark(**row)
        mark.maker_folded = mark.folded_maker  # what `save` does for one by itself
        mark._change_reason = f"Serial mark added: {mark}"
        key = (mark.maker_folded, mark.serial, mark.year, mark.source)
        if key not in have:
            have.add(key)
            added.append(mark)
    return bulk_create_with_history(added, SerialMark, batch_size=AT_ONCE, default_user=by)
