"""Data for machines inside a page. It is a data block: no browser runs it, whatever stands in it."""

import json

from django import template
from django.utils.html import format_html
from django.utils.safestring import mark_safe

register = template.Library()
# As JSON's own escapes, so that no word can end the element or begin another.
ESCAPED = {ord(sign): f"\\u{ord(sign):04X}" for sign in "<>&\u2028\u2029"}


@register.simple_tag
def linked_data(found: dict):
    """The values as one JSON-LD block; nothing when there are none."""
    if not found:
        return ""
    words = json.dumps(found, ensure_ascii=False).translate(ESCAPED)
    return format_html('<script type="application/ld+json">{}</script>', mark_safe(words))  # noqa: S308  escaped just above
