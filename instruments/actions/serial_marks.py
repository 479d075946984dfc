"""The shop's own serial marks: each change with who made it and when."""

from collections.abc import Iterable, Mapping

from django.db import transaction

from instruments.actions.history import save_tracked
from instruments.models import SerialMark


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
    """Add all the rows; those on file already, by maker, number, year and source, are left as they are."""
    have = set(SerialMark.objects.values_list("maker_folded", "serial", "year", "source"))
    added = []
    for row in rows:
        key = (SerialMark(maker=row["maker"]).folded_maker, row["serial"], row["year"], row["source"])
        if key not in have:
            have.add(key)
            added.append(add_serial_mark(by=by, **row))
    return added
