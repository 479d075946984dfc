from django import template
from django.utils import timezone

register = template.Library()


@register.filter
def days_overdue(job) -> int:
    """{{ job|days_overdue }}: days past the promised one, today; 0 where it is not late."""
    return job.days_overdue(timezone.localdate())


@register.filter
def under_way(job) -> str:
    """{{ job|under_way }}: "with Hazel Finch until 4 December 2026, overdue by 3 days"."""
    return job.under_way_words(timezone.localdate())
