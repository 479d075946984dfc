"""Keys and weights as they are read: {{ 40|note_label }} is C4, {{ -2.5|signed }} is −2.5."""

from decimal import Decimal

from django import template

from instruments.calc import compass

register = template.Library()
register.filter(compass.note_label)

CAUSES = {
    "friction": "friction",
    "weight": "too heavy",
    "light": "too light",
    "unknown": "the up-weight is missing",
}


@register.filter
def signed(grams: Decimal) -> str:
    size = f"{abs(round(grams, 1)).normalize():f}"
    return f"−{size}" if grams < 0 and size != "0" else f"+{size}" if size != "0" else "0"


@register.filter
def cause_words(cause: str) -> str:
    return CAUSES.get(cause, "")
