"""What the shop's pages have in common when they act."""

from collections.abc import Callable

from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.utils import timezone

from instruments.models import Instrument
from instruments.problems import Refused
from instruments.views.once import once


def the_instrument(stock_number: str) -> Instrument:
    return get_object_or_404(Instrument, stock_number=stock_number)


def today():
    return timezone.localdate()


def act_once(request: HttpRequest, form, act: Callable[[], str]) -> HttpResponse | None:
    """Act by a valid form, once. What the act refuses is said on the form, and nothing has changed."""
    try:
        return once(request, act)
    except Refused as refused:
        form.add_error(None, str(refused))
        return None
