"""One at a time: whatever changes the work of an instrument first takes hold of the instrument.

What an item waits for may stand in another order of the same instrument, so neither the item nor its order is
enough. On PostgreSQL the row lock makes the second one wait; on SQLite the write transaction has done it.
"""

from django.db import connection

from instruments.models import Instrument
from instruments.models.worded import ASKED, Worded, beforehand
from workorders.models import WorkItem, WorkOrder


def hold_instrument(instrument: Instrument) -> None:
    _hold(instrument.pk)


def hold_order(order: WorkOrder) -> WorkOrder:
    """The order as it is now, and nobody else's to change before this transaction ends."""
    _hold(order.instrument_id)
    return WorkOrder.objects.select_related("instrument", "closed_by").get(pk=order.pk)


def hold_item(item: WorkItem) -> WorkItem:
    """The item as it is now, and nobody else's to change before this transaction ends."""
    if connection.features.has_select_for_update:
        (instrument,) = _instrument_of_order(connection.vendor).asking(item.order_id).found()
        _hold(instrument)
    (held,) = _item(connection.vendor).asking(item.pk).found()
    return held


def _hold(key: int) -> None:
    _instrument_held(connection.vendor).asking(key).hold()


@beforehand
def _instrument_held(vendor: str) -> Worded:
    # Not the key itself: a stock page that only points at the instrument need not wait for the bench.
    return Worded.of(Instrument.objects.select_for_update(no_key=True).filter(pk=ASKED).values_list("pk"))


@beforehand
def _instrument_of_order(vendor: str) -> Worded:
    return Worded.of(WorkOrder.objects.filter(pk=ASKED).values_list("instrument_id", flat=True))


@beforehand
def _item(vendor: str) -> Worded:
    items = WorkItem.objects.select_related("order__instrument", "closed_by", "assigned_to")
    return Worded.of(items.filter(pk=ASKED))
