"""What is looked for, for a customer or for the shop, and what of it has turned up."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from shop.actions.leads import close_wanted, keep_wanted
from shop.forms.leads import WantedCloseForm, WantedForm
from shop.models import Wanted
from shop.views.answers import answer_form, today
from shop.wishes import MOST_WISHES, all_found, open_wishes


@require_GET
@permission_required("shop.see_people", raise_exception=True)
def wanted(request):
    found = {}
    for each in all_found():
        found.setdefault(each.wanted.pk, []).append(each)
    rows = [(wish, found.get(wish.pk, [])[:12]) for wish in open_wishes()]
    closed = Wanted.objects.filter(closed_on__isnull=False).select_related("person")[:20]
    return render(request, "shop/wanted.html", {"rows": rows, "closed": closed, "most": MOST_WISHES})


@require_http_methods(["GET", "POST"])
@permission_required("shop.see_people", raise_exception=True)
def wanted_add(request):
    wish = Wanted(asked_on=today(), asked_by=request.user)
    return _form(request, wish, said="Kept. What matches is named here, on leads and on Today.")


@require_http_methods(["GET", "POST"])
@permission_required("shop.see_people", raise_exception=True)
def wanted_edit(request, pk):
    return _form(request, get_object_or_404(Wanted.objects.open(), pk=pk), said="Corrected.")


def _form(request, wish: Wanted, *, said: str):
    form = WantedForm(request.POST or None, instance=wish)

    def act() -> str:
        keep_wanted(wanted=form.save(commit=False), by=request.user)
        messages.success(request, said)
        return reverse("shop:wanted")

    if answer := answer_form(request, form, act):
        return answer
    return render(request, "shop/wanted_form.html", {"form": form, "wish": wish})


@require_http_methods(["GET", "POST"])
@permission_required("shop.see_people", raise_exception=True)
def wanted_close(request, pk):
    wish = get_object_or_404(Wanted.objects.open().select_related("person"), pk=pk)
    form = WantedCloseForm(request.POST or None)

    def act() -> str:
        close_wanted(wanted=wish, by=request.user, on=today(), **form.cleaned_data)
        messages.success(request, "No longer looked for.")
        return reverse("shop:wanted")

    if answer := answer_form(request, form, act):
        return answer
    return render(request, "shop/wanted_close.html", {"form": form, "wish": wish})
