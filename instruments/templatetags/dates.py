from django import template
from django.forms import BoundField

from instruments.forms.fields import reading_of

register = template.Library()


@register.inclusion_tag("includes/half_known_date.html")
def half_known_date(field: BoundField, optional: bool = False) -> dict:
    """The field of a date in plain words, and under it what is understood of what stands there now."""
    typed = field.value() or ""
    # A refused date already has its reason beside the field.
    return {"field": field, "optional": optional, "reading": None if field.errors else reading_of(typed)}
