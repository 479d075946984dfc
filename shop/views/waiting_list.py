"""Joining and leaving the list of those who wait for what somebody else has."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_http_methods

from shop.actions.people import add_person
from shop.actions.waiting_list import join_waiting_list, leave_waiting_list
from shop.forms import ReleaseForm, WaitingForm
from shop.models import WaitingPlace
from shop.problems import promise_problems
from shop.views.answers import answer_form, the_instrument, today


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def waiting_join(request, stock_number):
    instrument = the_instrument(stock_number)
    form = WaitingForm(request.POST or None, initial={"person": request.GET.get("person")})

    def act() -> str:
        data = form.cleaned_data
        person = data["person"] or add_person(by=request.user, **form.person_card())
        join_waiting_list(
            instrument=instrument, person=person, note=data["note"], by=request.user, on=today()
        )
        messages.success(request, f"{person} is on the waiting list.")
        return instrument.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    context = {"form": form, "instrument": instrument, "promised": promise_problems(instrument)}
    return render(request, "shop/waiting_join.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def waiting_leave(request, pk):
    place = get_object_or_404(WaitingPlace.objects.select_related("instrument", "person"), pk=pk)
    form = ReleaseForm(request.POST or None)

    def act() -> str:
        leave_waiting_list(place=place, by=request.user, on=today())
        messages.success(request, f"{place.person} waits for it no longer.")
        return place.instrument.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    return render(request, "shop/waiting_leave.html", {"form": form, "place": place})
