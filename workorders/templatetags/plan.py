from django import template

from workorders.bench_hours import words_of
from workorders.models import BenchHours

register = template.Library()


@register.filter
def week_in_words(hours: BenchHours) -> str:
    """{{ hours|week_in_words }}: "Monday to Friday 6 h"."""
    return words_of(hours)
