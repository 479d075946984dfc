"""What stands in the way of taking from the stores, or putting into them."""

from decimal import Decimal

from django.urls import reverse

from instruments.problems import Blocker, Problem
from workorders.models import Consumable, StockMovement
from workorders.stock import OnHand
from workorders.store_states import Movement, Unit

MOST = Decimal(1_000_000)


def amount_problems(consumable: Consumable, quantity: Decimal) -> list[Problem]:
    """Why this cannot be an amount of it."""
    if not 0 < quantity <= MOST:
        return [Blocker("Give how many or how much, above 0.")]
    return whole_problems(consumable, quantity)


def whole_problems(consumable: Consumable, quantity: Decimal) -> list[Problem]:
    if consumable.unit == Unit.EACH and quantity != quantity.to_integral_value():
        return [Blocker(f"{consumable} is counted in whole numbers.")]
    return []


def taking_problems(consumable: Consumable, quantity: Decimal, on_hand: OnHand) -> list[Problem]:
    """Why so much of it cannot be taken. Nothing is taken that is not there: count first."""
    if problems := amount_problems(consumable, quantity):
        return problems
    if quantity <= on_hand.quantity:
        return []
    there = consumable.amount_words(on_hand.quantity) if on_hand.quantity else "none"
    return [
        Blocker(
            f"{consumable}: {consumable.amount_words(quantity)} wanted, {there} on hand by the books. "
            "If there is more, count it first.",
            reverse("workorders:consumable_count", args=[consumable.pk]),
        )
    ]


def counting_problems(
    consumable: Consumable, counted: Decimal, on_hand: OnHand, cost_minor: int | None
) -> list[Problem]:
    if not 0 <= counted <= MOST:
        return [Blocker("Give what was counted, 0 or more.")]
    if problems := whole_problems(consumable, counted):
        return problems
    if counted > on_hand.quantity == 0 and cost_minor is None:
        return [
            Blocker("By the books there was none, so nothing says what these cost: give their cost, or 0.")
        ]
    if cost_minor is not None and counted <= on_hand.quantity:
        return [Blocker("A cost is only asked for what was found on top of what the books say.")]
    return []


def undelivering_problems(delivery: StockMovement, on_hand: OnHand) -> list[Problem]:
    """Why a delivery cannot be taken back: what is left would not bear it."""
    if delivery.kind != Movement.DELIVERY:
        return [Blocker("Only a delivery is taken back here.")]
    if StockMovement.objects.filter(corrects=delivery).exists():
        return [Blocker("This delivery has been taken back already.")]
    quantity, value = on_hand.quantity - delivery.quantity, on_hand.value_minor - delivery.value_minor
    if quantity < 0 or value < 0 or (quantity == 0 and value > 0):
        return [
            Blocker("Some of it has been used since: take those parts back first, or count what is there.")
        ]
    return []


def keeping_problems(consumable: Consumable) -> list[Problem]:
    """Why a consumable cannot be kept as it now says."""
    if consumable.pk is None:
        return []
    before = Consumable.objects.get(pk=consumable.pk)
    if before.unit != consumable.unit and before.movements.exists():
        return [
            Blocker(
                f"It has come and gone in {before.get_unit_display()}: keep the unit, or add another one."
            )
        ]
    return []
