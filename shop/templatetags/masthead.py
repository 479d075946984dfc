"""What stands at the top of every page of those who are signed in: drawn once for each place and person.

Only the token against forged forms is another on each page: it is put in where a mark was drawn for it.
"""

import secrets
from functools import lru_cache

from django import template
from django.template.loader import render_to_string
from django.urls import get_urlconf
from django.utils.html import format_html
from django.utils.safestring import SafeString

register = template.Library()
MARK = "mark" + secrets.token_hex(16)  # in no name that is drawn


@register.simple_tag(takes_context=True)
def masthead(context) -> SafeString:
    user = context.get("user")
    if user is None or not user.is_authenticated:
        return render_to_string("includes/masthead.html")
    seconds = context.get("session_seconds")
    drawn = _drawn(
        get_urlconf(),
        tuple(context.get("navigation", ())),
        user.pk,
        user.get_full_name() or user.get_username(),
        seconds() if callable(seconds) else seconds,
    )
    return format_html(drawn, token=context.get("csrf_token", ""))


@lru_cache(maxsize=500)
def _drawn(urlconf: str | None, navigation: tuple, pk: int, name: str, seconds: int | None) -> str:
    """With `{token}` where the token stands; what else is in braces is doubled, as `format_html` reads it."""
    user = {"is_authenticated": True, "pk": pk, "name": name}
    drawn = render_to_string(
        "includes/masthead.html",
        {"navigation": navigation, "user": user, "session_seconds": seconds, "csrf_token": MARK},
    )
    return drawn.replace("{", "{{").replace("}", "}}").replace(MARK, "{token}")
