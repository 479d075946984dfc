"""The keys an item was made for: cleared when it is closed, marked again when it is opened again."""

from collections.abc import Collection
from datetime import date

from django.utils import timezone

from instruments.actions.key_marks import clear_marks, mark_again
from instruments.key_faults import ClearedBy
from instruments.models import KeyMark
from workorders.models import ItemKeyMark, WorkItem
from workorders.states import ItemState


def clear_keys_of(item: WorkItem, rechecked: Collection[KeyMark], *, by, on: date) -> None:
    """Clear those of the item's marks that were looked at again. In the transaction that closes the item."""
    wanted = {mark.pk for mark in rechecked}
    if not wanted:
        return
    marks = KeyMark.objects.open().filter(item_links__item=item, pk__in=wanted)
    if marks:
        clear_marks(
            marks=marks,
            how=ClearedBy.WORK,
            found=item.result,
            note=f"“{item.name}”, {item.order.number}",
            by=by,
            on=on,
        )


def mark_keys_again(item: WorkItem, *, by, on: date) -> None:
    """What the closing of this item cleared stands open again. Before the item forgets its closing."""
    if item.state != ItemState.DONE:
        return
    cleared = KeyMark.objects.filter(
        item_links__item=item,
        clearing__how=ClearedBy.WORK,
        clearing__cleared_by=item.closed_by,
        clearing__cleared_on=timezone.localdate(item.closed_at),
    ).select_related("instrument")
    note = f"“{item.name}” was opened again"
    marks = mark_again(marks=cleared, by=by, on=on, note=note)
    ItemKeyMark.objects.bulk_create(ItemKeyMark(item=item, mark=mark) for mark in marks)
