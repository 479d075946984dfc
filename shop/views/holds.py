"""Holding an instrument for somebody, and letting it go again."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_http_methods

from shop.actions.ledger import value_in
from shop.actions.people import add_person
from shop.actions.promises import extend_hold, place_hold, release_hold
from shop.forms import ExtendHoldForm, HoldForm, ReleaseForm
from shop.models import Promise
from shop.problems import dealing_problems, open_promise_of
from shop.states import PromiseKind
from shop.views.answers import answer_form, the_instrument, today


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def hold_place(request, stock_number):
    instrument = the_instrument(stock_number)
    form = HoldForm(request.POST or None, today=today())

    def act() -> str:
        data = form.cleaned_data
        person = data["person"] or add_person(by=request.user, **form.person_card())
        promise = place_hold(
            instrument=instrument,
            person=person,
            until=data["until"],
            note=data["note"],
            deposit_minor=data["deposit_minor"] or 0,
            method=data["method"],
            by=request.user,
            on=today(),
        )
        messages.success(request, f"Held for {person}{promise.ends_in_words}.")
        return instrument.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    context = {
        "form": form,
        "instrument": instrument,
        "problems": dealing_problems(instrument, act="offering"),
        "promise": open_promise_of(instrument),
    }
    return render(request, "shop/hold_form.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def hold_extend(request, pk):
    promise = _hold(pk)
    form = ExtendHoldForm(request.POST or None, today=today(), promise=promise)

    def act() -> str:
        extended = extend_hold(promise=promise, by=request.user, **form.cleaned_data)
        messages.success(request, f"Held for {promise.person}{extended.ends_in_words}.")
        return promise.instrument.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    return render(request, "shop/hold_extend.html", {"form": form, "promise": promise})


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def hold_release(request, pk):
    promise = _hold(pk)
    form = ReleaseForm(request.POST or None)

    def act() -> str:
        release_hold(promise=promise, by=request.user, on=today())
        messages.success(request, f"The hold for {promise.person} has ended.")
        return promise.instrument.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    context = {"form": form, "promise": promise, "paid_minor": value_in(promise)}
    return render(request, "shop/hold_release.html", context)


def _hold(pk: int) -> Promise:
    holds = Promise.objects.select_related("instrument", "person")
    return get_object_or_404(holds, pk=pk, kind=PromiseKind.HOLD)
