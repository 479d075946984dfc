"""Keys and weights as they are read: {{ 40|note_label }} is C4, {{ -2.5|signed }} is −2.5."""

from decimal import Decimal

from django import template

from instruments.calc import compass
from instruments.calc.exact import plain

register = template.Library()
register.filter(compass.note_label)
register.filter(plain)

CAUSES = {
    "friction": "friction",
    "weight": "too heavy",
    "light": "too light",
    "stuck": "does not return",
    "unknown": "the up-weight is missing",
}


@register.filter
def signed(value: Decimal | float) -> str:
    size = f"{abs(round(Decimal(str(value)), 1)).normalize():f}"
    return f"−{size}" if value < 0 and size != "0" else f"+{size}" if size != "0" else "0"


@register.filter
def cause_words(cause: str) -> str:
    return CAUSES.get(cause, "")


@register.filter
def up_words(grams: Decimal | None) -> str:
    """An up-weight as it is read: 0 g is a key that does not return by itself."""
    if grams is None:
        return "not taken"
    return plain(grams) if grams else "no return"


@register.filter
def one_line(words: str) -> str:
    """{{ person.address|one_line }}: its lines in a row, each apart from the next by a comma."""
    return ", ".join(line.strip().rstrip(",") for line in words.splitlines() if line.strip())
