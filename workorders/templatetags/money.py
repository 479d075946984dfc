from django import template

from workorders.currency import in_words, price_in_words

register = template.Library()


@register.filter
def money(amount_minor: int | None) -> str:
    """{{ amount_minor|money }}: "£1,250.00"; nothing known, or no row to know it, prints nothing."""
    return in_words(amount_minor) if isinstance(amount_minor, int) else ""


@register.filter
def price(amount_minor: int | None) -> str:
    """{{ amount_minor|price }}: "£1,250", with pence only where there are some."""
    return price_in_words(amount_minor) if isinstance(amount_minor, int) else ""
