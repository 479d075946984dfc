"""What pages have in common when they act."""

import logging
from collections.abc import Callable

from django.db import IntegrityError
from django.db.models import Q
from django.forms import BaseForm
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404

from instruments.models import Instrument
from instruments.problems import Refused
from instruments.views.once import answered_before, once

logger = logging.getLogger(__name__)

MEANWHILE = (
    "Something else was saved at the same moment that does not go with this. Nothing of this was saved; "
    "look at what is there now, then send it again."
)


def the_instrument(stock_number: str) -> Instrument:
    return get_object_or_404(Instrument, stock_number=stock_number)


def act_once(request: HttpRequest, form: BaseForm, act: Callable[[], str]) -> HttpResponse | None:
    """Act by a valid form, once. What the act refuses is said on the form, and nothing has changed.

    What the form found free another may have taken before the act: then the database refuses it.
    """
    try:
        return once(request, act)
    except Refused as refused:
        form.add_error(None, refused.sentences)
    except IntegrityError:
        logger.exception("The database refused what the form of %s allowed.", request.path)
        form.add_error(None, MEANWHILE)
    return None


def answer_form(request: HttpRequest, form: BaseForm, act: Callable[[], str]) -> HttpResponse | None:
    """The answer to a creating form that was sent; None when the form is to be shown, first or again."""
    if request.method != "POST":
        return None
    if answer := answered_before(request):
        return answer
    # Asked again where it is not valid: the same form, pressed twice, may have been through meanwhile.
    return act_once(request, form, act) if form.is_valid() else answered_before(request)


def earlier_of(survey, rows, *, asked: str, most: int = 60) -> tuple[list, object]:
    """The surveys before this one, newest first, and the one it is held against: asked for, else the last.

    `asked` is a number, or "none" for no other.
    """
    same_day = Q(measured_on=survey.measured_on, pk__lt=survey.pk)
    before = list(rows.filter(Q(measured_on__lt=survey.measured_on) | same_day)[:most])
    if asked == "none":
        return before, None
    chosen = [each for each in before if str(each.pk) == asked]
    return before, next(iter([*chosen, *before]), None)
