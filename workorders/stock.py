"""What is on hand, what is low, and what open work will want of it."""

from collections.abc import Collection
from dataclasses import dataclass
from decimal import Decimal

from django.db.models import Sum

from workorders.models import Consumable, StockMovement, TaskPart, WorkItem, WorkOrder
from workorders.states import ItemState


@dataclass(frozen=True)
class OnHand:
    quantity: Decimal = Decimal(0)
    value_minor: int = 0


def on_hand_of(consumable: Consumable) -> OnHand:
    """The sums of all that came and went. Lock the consumable first where something is made of them."""
    sums = StockMovement.objects.filter(consumable=consumable).aggregate(
        quantity=Sum("quantity"),
        value=Sum("value_minor"),
    )
    # SQLite adds decimals up as floats: rounded, they are what was written down again.
    return OnHand(round(Decimal(sums["quantity"] or 0), 2), sums["value"] or 0)


@dataclass(frozen=True)
class Shortage:
    """A consumable of which open items usually take more than is on hand."""

    consumable: Consumable
    wanted: Decimal
    on_hand: Decimal

    @property
    def words(self) -> str:
        return (
            f"{self.consumable.amount_words(self.wanted)} usually wanted, "
            f"{self.consumable.amount_words(self.on_hand)} on hand"
        )


def shortages_of(orders: Collection[WorkOrder]) -> list[Shortage]:
    """What the open items of these orders are likely to run out of, less what they have used already."""
    open_items = WorkItem.objects.filter(order__in=[order.pk for order in orders], state=ItemState.OPEN)
    wanted: dict[int, Decimal] = {}
    for key, quantity in _usually_taken(open_items):
        wanted[key] = wanted.get(key, Decimal(0)) + quantity
    if not wanted:
        return []
    stock = Consumable.objects.filter(pk__in=wanted).with_stock()
    return [Shortage(each, wanted[each.pk], each.on_hand) for each in stock if wanted[each.pk] > each.on_hand]


def _usually_taken(items) -> list[tuple[int, Decimal]]:
    """What each item is still likely to take of each consumable, never less than nothing."""
    used = {
        (row["part__item"], row["consumable"]): -row["taken"]
        for row in StockMovement.objects.filter(part__item__in=items)
        .order_by()
        .values("part__item", "consumable")
        .annotate(taken=Sum("quantity"))
    }
    typical = (
        TaskPart.objects.filter(consumable__isnull=False, task__items__in=items)
        .order_by()
        .values_list("task__items", "consumable", "quantity")
    )
    return [
        (consumable, quantity - used.get((item, consumable), Decimal(0)))
        for item, consumable, quantity in typical
        if quantity > used.get((item, consumable), Decimal(0))
    ]


def typical_parts_of(item: WorkItem) -> list[TaskPart]:
    """What its task usually takes, each with how much of it is on hand (None where it is not kept)."""
    if item.task_id is None:
        return []
    parts = list(TaskPart.objects.filter(task=item.task_id).select_related("consumable"))
    kept = Consumable.objects.filter(typical_for__task=item.task_id).with_stock()
    on_hand = {each.pk: each.on_hand for each in kept}
    for part in parts:
        part.on_hand = on_hand.get(part.consumable_id)
    return parts
