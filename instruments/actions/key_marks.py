"""Marking faults at keys, and clearing the marks. An instrument's marks change one act after the other."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from datetime import date
from itertools import groupby

from django.db import transaction
from django.utils import timezone

from instruments.key_faults import ClearedBy
from instruments.models import Instrument, KeyMark, KeyMarkClearing, Photo
from instruments.problems import Blocker, key_problems, refuse_if_blocked


@dataclass(frozen=True)
class KeysMarked:
    """What came of marking: new marks, and keys that bore the same mark already."""

    new: list[KeyMark]
    already: list[int]


@transaction.atomic
def mark_keys(
    *,
    instrument: Instrument,
    keys: Collection[int],
    fault: str,
    by,
    on: date,
    note: str = "",
    photo: Photo | None = None,
) -> KeysMarked:
    """Mark one fault at these keys (1 is A0). A key whose mark is still open keeps that one."""
    instrument = Instrument.objects.select_for_update().get(pk=instrument.pk)
    refuse_if_blocked(key_problems(instrument, keys))
    last = _last_marks(instrument, keys, fault)
    already = sorted(key for key, mark in last.items() if not hasattr(mark, "clearing"))
    moment = timezone.now()
    new = KeyMark.objects.bulk_create(
        KeyMark(
            instrument=instrument,
            key=key,
            fault=fault,
            note=note,
            photo=photo,
            after=last[key].clearing if key in last else None,
            marked_on=on,
            marked_by=by,
            recorded_at=moment,
        )
        for key in sorted(set(keys) - set(already))
    )
    return KeysMarked(new, already)


@transaction.atomic
def clear_marks(
    *,
    marks: Iterable[KeyMark],
    by,
    on: date,
    found: str,
    how: str = ClearedBy.RECHECK,
    note: str = "",
) -> list[KeyMarkClearing]:
    """Clear marks of one instrument by what was found. Those that somebody cleared before stay as they are.

    Raises Blocked when none of them is open any more, or a day before their marking is given.
    """
    marks = list(marks)
    _hold_instrument_of(marks)
    still_open = list(KeyMark.objects.open().filter(pk__in=[mark.pk for mark in marks]))
    refuse_if_blocked(_clearing_problems(still_open, found, on))
    moment = timezone.now()
    return KeyMarkClearing.objects.bulk_create(
        KeyMarkClearing(
            mark=mark,
            how=how,
            found=found.strip(),
            note=note,
            cleared_on=on,
            cleared_by=by,
            recorded_at=moment,
        )
        for mark in still_open
    )


@transaction.atomic
def mark_again(*, marks: Iterable[KeyMark], by, on: date, note: str = "") -> list[KeyMark]:
    """Open marks again that were cleared too soon: a new mark for each key and fault that bears none."""
    new: list[KeyMark] = []
    ordered = sorted(marks, key=lambda mark: (mark.instrument_id, mark.fault))
    for (_, fault), group in groupby(ordered, key=lambda mark: (mark.instrument_id, mark.fault)):
        group = list(group)
        keys = {mark.key for mark in group}
        new += mark_keys(instrument=group[0].instrument, keys=keys, fault=fault, by=by, on=on, note=note).new
    return new


def _last_marks(instrument: Instrument, keys: Collection[int], fault: str) -> dict[int, KeyMark]:
    marks = instrument.key_marks.filter(fault=fault, key__in=keys).select_related("clearing")
    return {mark.key: mark for mark in marks.order_by("id")}


def _hold_instrument_of(marks: list[KeyMark]) -> None:
    instruments = {mark.instrument_id for mark in marks}
    if len(instruments) > 1:
        raise ValueError("Marks are cleared for one instrument at a time.")
    for pk in instruments:
        Instrument.objects.select_for_update().get(pk=pk)


def _clearing_problems(marks: list[KeyMark], found: str, on: date) -> list[Blocker]:
    if not marks:
        return [Blocker("None of these marks is open any more; somebody else has cleared them.")]
    problems = [] if found.strip() else [Blocker("Say what was found.")]
    if early := next((mark for mark in marks if on < mark.marked_on), None):
        problems.append(
            Blocker(f"{early}: marked on {early.marked_on:%-d %B %Y}, so it cannot be cleared before that.")
        )
    return problems
