from django import template

from workorders.currency import in_words, price_in_words

register = template.Library()


@register.filter
def money(amount_minor: int | None) -> str:
    """{{ amount_minor|money }}: "£1,250.00"; nothing known prints nothing."""
    return "" if amount_minor is None else in_words(amount_minor)


@register.filter
def price(amount_minor: int | None) -> str:
    """{{ amount_minor|price }}: "£1,250", with pence only where there are some."""
    return "" if amount_minor is None else price_in_words(amount_minor)
