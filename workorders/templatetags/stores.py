from decimal import Decimal

from django import template

register = template.Library()


@register.filter
def amount(consumable, quantity: Decimal | None) -> str:
    """{{ consumable|amount:consumable.on_hand }}: "12", "3.5 m"; nothing where there is no figure."""
    return "" if quantity is None else consumable.amount_words(round(Decimal(quantity), 2))
