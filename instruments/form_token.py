"""The mark in a creating form that lets it do its work once; `views.once` keeps the marks that were used."""

import re

from django.http import HttpRequest

TOKEN_FIELD = "form_token"  # noqa: S105 - a field's name
TOKEN_SHAPE = re.compile(r"[0-9a-f]{32}")


def form_token_of(request: HttpRequest) -> str:
    """The posted token, or nothing when it is absent or not one of ours."""
    token = request.POST.get(TOKEN_FIELD, "")
    return token if TOKEN_SHAPE.fullmatch(token) else ""
