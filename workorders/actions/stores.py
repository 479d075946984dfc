"""The stores: what is kept, delivered, counted, written off, used on an item and put back.

Every act holds the consumable first, then adds its movements up: of two that take the last at once, the
second finds none. Cost follows the average of what came in (`calc.stock`).
"""

from datetime import date
from decimal import Decimal

from django.db import transaction

from instruments.actions.history import save_tracked
from instruments.problems import Blocked, Blocker, refuse_if_blocked
from workorders.calc.stock import found_minor, used_minor
from workorders.models import Consumable, PartUsed, StockMovement, WorkItem
from workorders.stock import OnHand, on_hand_of
from workorders.store_problems import (
    amount_problems,
    counting_problems,
    keeping_problems,
    taking_problems,
    undelivering_problems,
)
from workorders.store_states import ConsumableKind, Hazard, Movement, Unit


@transaction.atomic
def keep_consumable(*, consumable: Consumable, by) -> Consumable:
    """Add a consumable to the stores, or change what is said of it. Key leads are always lead."""
    refuse_if_blocked(keeping_problems(consumable))
    added = consumable.pk is None
    if consumable.kind == ConsumableKind.LEADS:
        consumable.hazard = Hazard.LEAD
    save_tracked(consumable, by=by, why=f"“{consumable}” {'added to' if added else 'changed in'} the stores")
    return consumable


@transaction.atomic
def receive(
    *, consumable: Consumable, quantity: Decimal, cost_minor: int, by, on: date, note: str = ""
) -> StockMovement:
    """Put a delivery into the stores, with what all of it cost."""
    hold_consumable(consumable)
    refuse_if_blocked(amount_problems(consumable, quantity))
    if cost_minor < 0:
        raise Blocked([Blocker("A delivery cannot have cost less than nothing.")])
    return _moved(consumable, Movement.DELIVERY, quantity, cost_minor, by=by, on=on, note=note)


@transaction.atomic
def take_back_delivery(*, delivery: StockMovement, by, on: date, note: str = "") -> StockMovement:
    """Undo a delivery that was written down wrongly. Both lines stay."""
    on_hand = hold_consumable(delivery.consumable)
    refuse_if_blocked(undelivering_problems(delivery, on_hand))
    return _moved(
        delivery.consumable,
        Movement.UNDELIVERED,
        -delivery.quantity,
        -delivery.value_minor,
        by=by,
        on=on,
        note=note,
        corrects=delivery,
    )


@transaction.atomic
def count(
    *,
    consumable: Consumable,
    counted: Decimal,
    why: str,
    by,
    on: date,
    cost_minor: int | None = None,
) -> StockMovement:
    """Set what is on hand to what was counted.

    What is missing leaves at the average cost, a loss to the shop and to no instrument. What is found on top
    comes in at the average too, or at `cost_minor` when that is given.
    """
    on_hand = hold_consumable(consumable)
    refuse_if_blocked(counting_problems(consumable, counted, on_hand, cost_minor))
    if not why.strip():
        raise Blocked([Blocker("Say why it was counted.")])
    value = _counted_minor(counted, on_hand, cost_minor)
    return _moved(
        consumable,
        Movement.COUNTED,
        counted - on_hand.quantity,
        value,
        by=by,
        on=on,
        note=why.strip(),
        counted=counted,
    )


@transaction.atomic
def write_off(*, consumable: Consumable, quantity: Decimal, why: str, by, on: date) -> StockMovement:
    """Take out what is spoilt, at the average cost: a loss to the shop and to no instrument."""
    on_hand = hold_consumable(consumable)
    refuse_if_blocked(taking_problems(consumable, quantity, on_hand))
    if not why.strip():
        raise Blocked([Blocker("Say why it is written off.")])
    value = used_minor(quantity, on_hand.quantity, on_hand.value_minor)
    return _moved(consumable, Movement.WRITTEN_OFF, -quantity, -value, by=by, on=on, note=why.strip())


@transaction.atomic
def use_from_stock(*, item: WorkItem, consumable: Consumable, quantity: Decimal, by, on: date) -> PartUsed:
    """Take what goes into an item from the stores; its cost comes with it. Refused beyond what is on hand."""
    on_hand = hold_consumable(consumable)
    refuse_if_blocked(taking_problems(consumable, quantity, on_hand))
    value = used_minor(quantity, on_hand.quantity, on_hand.value_minor)
    part = PartUsed.objects.create(
        item=item,
        name=consumable.name,
        quantity=quantity,
        unit="" if consumable.unit == Unit.EACH else consumable.get_unit_display(),
        cost_minor=value,
        used_on=on,
        recorded_by=by,
    )
    _moved(consumable, Movement.USED, -quantity, -value, by=by, on=on, part=part)
    return part


def return_to_stock(*, part: PartUsed, taken_back: PartUsed, by) -> None:
    """Put back what a part had taken, at the cost it went out with; nothing if it was not stock."""
    used = StockMovement.objects.select_related("consumable").filter(part=part).first()
    if used is None:
        return
    hold_consumable(used.consumable)
    _moved(
        used.consumable,
        Movement.RETURNED,
        -used.quantity,
        -used.value_minor,
        by=by,
        on=taken_back.used_on,
        part=taken_back,
        corrects=used,
    )


def hold_consumable(consumable: Consumable) -> OnHand:
    """What is on hand, and nobody else's to change before this transaction ends."""
    Consumable.objects.select_for_update(no_key=True).values_list("pk", flat=True).get(pk=consumable.pk)
    return on_hand_of(consumable)


def _counted_minor(counted: Decimal, on_hand: OnHand, cost_minor: int | None) -> int:
    if counted == on_hand.quantity:
        return 0
    if counted < on_hand.quantity:
        return -used_minor(on_hand.quantity - counted, on_hand.quantity, on_hand.value_minor)
    if cost_minor is not None:
        return cost_minor
    return found_minor(counted - on_hand.quantity, on_hand.quantity, on_hand.value_minor)


def _moved(
    consumable: Consumable, kind: str, quantity: Decimal, value_minor: int, *, by, on: date, **more
) -> StockMovement:
    return StockMovement.objects.create(
        consumable=consumable,
        kind=kind,
        quantity=quantity,
        value_minor=value_minor,
        moved_on=on,
        recorded_by=by,
        **more,
    )
