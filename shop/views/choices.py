"""The short lists of a choice that follows the typing (`shop/forms/choices.py`).

They only look; what was typed is sent to them in the body, so that no address holds a name.
"""

import re

from django import forms
from django.contrib.auth.decorators import permission_required
from django.http import Http404
from django.shortcuts import render
from django.views.decorators.http import require_POST

from shop.forms.choices import NOBODY, FoundChoice, InstrumentChoice, PersonChoice
from shop.offering import instruments_to_offer

FIELD_NAME = re.compile(r"[a-z][a-z_]{0,40}")


@require_POST
@permission_required("shop.see_people", raise_exception=True)
def person_matches(request):
    nobody = request.GET.get("nobody", "")
    return _matches(request, PersonChoice(nobody=nobody if nobody in NOBODY else "new"))


@require_POST
@permission_required("shop.sell", raise_exception=True)
def instrument_matches(request):
    return _matches(request, InstrumentChoice(queryset=instruments_to_offer()))


def _matches(request, choice: FoundChoice):
    name = request.GET.get("field", "")
    if not FIELD_NAME.fullmatch(name):
        raise Http404("There is no such field.")
    form = forms.Form(request.POST)
    form.fields[name] = choice
    return render(request, "includes/find_choice.html#matches", {"field": form[name]})
