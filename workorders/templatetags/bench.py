from django import template

register = template.Library()


@register.filter
def hours(minutes: int | None) -> str:
    """{{ step.minutes|hours }}: 95 -> "1 h 35", 120 -> "2 h", 20 -> "20 min"; nothing for nothing."""
    if not minutes:
        return ""
    sign, (whole, rest) = ("-" if minutes < 0 else ""), divmod(abs(minutes), 60)
    if not whole:
        return f"{sign}{rest} min"
    return f"{sign}{whole} h {rest:02d}" if rest else f"{sign}{whole} h"


@register.filter
def person(user) -> str:
    """The name a person goes by."""
    return (user.get_full_name() or user.get_username()) if user else ""
