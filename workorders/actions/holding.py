"""One at a time: whatever changes the work of an instrument first takes hold of the instrument.

What an item waits for may stand in another order of the same instrument, so neither the item nor its order is
enough. On PostgreSQL the row lock makes the second one wait; on SQLite the write transaction has done it.
"""

from instruments.models import Instrument
from workorders.models import WorkItem, WorkOrder


def hold_instrument(instrument: Instrument) -> None:
    _hold(instrument.pk)


def hold_order(order: WorkOrder) -> WorkOrder:
    """The order as it is now, and nobody else's to change before this transaction ends."""
    _hold(order.instrument_id)
    return WorkOrder.objects.select_related("instrument", "closed_by").get(pk=order.pk)


def hold_item(item: WorkItem) -> WorkItem:
    """The item as it is now, and nobody else's to change before this transaction ends."""
    _hold(WorkOrder.objects.values_list("instrument_id", flat=True).get(pk=item.order_id))
    return WorkItem.objects.select_related("order__instrument", "closed_by", "assigned_to").get(pk=item.pk)


def _hold(key: int) -> None:
    # Not the key itself: a stock page that only points at the instrument need not wait for the bench.
    Instrument.objects.select_for_update(no_key=True).values_list("pk", flat=True).get(pk=key)
