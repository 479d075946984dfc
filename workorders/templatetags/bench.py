from django import template

from workorders.calc.durations import minutes_words

register = template.Library()


@register.filter
def hours(minutes: int | None) -> str:
    """{{ step.minutes|hours }}: "1 h 35"; nothing for nothing."""
    return minutes_words(minutes) if minutes else ""


@register.filter
def person(user) -> str:
    """The name a person goes by."""
    return (user.get_full_name() or user.get_username()) if user else ""
