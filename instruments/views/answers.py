"""What pages have in common when they act."""

import logging
from collections.abc import Callable

from django.db import IntegrityError
from django.db.models import Q
from django.forms import BaseForm
from django.forms.utils import ErrorDict
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404

from instruments.models import Instrument
from instruments.problems import Refused
from instruments.views.once import answered_before, once

logger = logging.getLogger(__name__)

FIND = "find"  # the name of the button beside a field that is found by a few letters
MEANWHILE = (
    "Something else was saved at the same moment that does not go with this. Nothing of this was saved; "
    "look at what is there now, then send it again."
)


def the_instrument(stock_number: str) -> Instrument:
    return get_object_or_404(Instrument, stock_number=stock_number)


def act_once(
    request: HttpRequest, form: BaseForm, act: Callable[[], str], **given: Callable[[], None]
) -> HttpResponse | None:
    """Act by a valid form, once. What the act refuses is said on the form, and nothing has changed.

    What the form found free another may have taken before the act: then the database refuses it.
    """
    try:
        return once(request, act, **given)
    except Refused as refused:
        say_refused(form, refused)
    except IntegrityError:
        logger.exception("The database refused what the form of %s allowed.", request.path)
        form.add_error(None, MEANWHILE)
    return None


def say_refused(form: BaseForm, refused: Refused) -> None:
    """Beside the field that it speaks of, where this form has it to be seen; else over the form."""
    fields = getattr(form, "fields", {})
    for sentence, names in refused.told:
        seen = (name for name in names if name in fields and not fields[name].widget.is_hidden)
        form.add_error(next(seen, None), sentence)


def only_finds(request: HttpRequest, form: BaseForm) -> bool:
    """Whether Find was pressed beside a field: the form is shown again as it stands, and not judged."""
    if FIND not in request.POST:
        return False
    form._errors, form.cleaned_data = ErrorDict(), {}  # as of a form that found no fault, and kept nothing
    return True


def answer_form(
    request: HttpRequest, form: BaseForm, act: Callable[[], str], **given: Callable[[], None]
) -> HttpResponse | None:
    """The answer to a creating form that was sent; None when the form is to be shown, first or again.

    What else is given is for `once`.
    """
    if request.method != "POST":
        return None
    if only_finds(request, form):
        return None
    if answer := answered_before(request):
        return answer
    # Asked again where it is not valid: the same form, pressed twice, may have been through meanwhile.
    return act_once(request, form, act, **given) if form.is_valid() else answered_before(request)


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
