"""What is looked for, for a customer or for the shop, and what of it has turned up."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from shop.actions.wanted import close_wanted, keep_wanted
from shop.forms.wanted import WantedCloseForm, WantedForm
from shop.models import Enquiry, Person, Wanted
from shop.views.answers import answer_form, open_or_sent, today
from shop.wishes import MOST_WISHES, all_found, by_wish, open_wishes


@require_GET
@permission_required("shop.see_people", raise_exception=True)
def wanted(request):
    wishes = open_wishes()
    found = by_wish(all_found(wishes))
    rows = [(wish, found.get(wish.pk, [])[:12]) for wish in wishes]
    closed = Wanted.objects.filter(closed_on__isnull=False).select_related("person")[:20]
    context = {"rows": rows, "closed": closed, "most": MOST_WISHES, "today": today()}
    return render(request, "shop/wanted.html", context)


@require_GET
@permission_required("shop.see_people", raise_exception=True)
def wanted_page(request, pk):
    wish = get_object_or_404(Wanted.objects.select_related("person", "enquiry", "asked_by"), pk=pk)
    context = {
        "wish": wish,
        "found": by_wish(all_found([wish])).get(wish.pk, []) if wish.is_open else [],
        "tellings": wish.tellings.select_related("instrument")[:30],
        "steps": wish.history.select_related("history_user")[:20],
        "today": today(),
    }
    return render(request, "shop/wanted_page.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("shop.see_people", raise_exception=True)
def wanted_add(request):
    wish = Wanted(asked_on=today(), asked_by=request.user)
    asked = Enquiry.objects.filter(number=request.GET.get("enquiry", "").replace("\0", "")).first()
    if asked is not None and asked.person_id:
        wish.enquiry, wish.person = asked, asked.person.standing_card
        wish.kind = asked.instrument.kind if asked.instrument else ""
        wish.told_agreed_on = asked.came_on if asked.tell_me else None
    else:
        wish.person = _standing(request.GET.get("person"))
    return _form(request, wish, said="Kept. What matches is named here, on leads and on Today.")


def _standing(key: str | None) -> Person | None:
    cards = Person.objects.standing()
    return cards.filter(pk=key).first() if key and key.isascii() and key.isdigit() and len(key) < 16 else None


@require_http_methods(["GET", "POST"])
@permission_required("shop.see_people", raise_exception=True)
def wanted_edit(request, pk):
    return _form(request, get_object_or_404(Wanted.objects.open(), pk=pk), said="Corrected.")


def _form(request, wish: Wanted, *, said: str):
    form = WantedForm(request.POST or None, instance=wish)

    def act() -> str:
        told = form.cleaned_data["is_told"]
        kept = keep_wanted(wanted=form.save(commit=False), is_told=told, by=request.user, on=today())
        messages.success(request, said)
        return kept.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    return render(request, "shop/wanted_form.html", {"form": form, "wish": wish})


@require_http_methods(["GET", "POST"])
@permission_required("shop.see_people", raise_exception=True)
def wanted_close(request, pk):
    wish = get_object_or_404(open_or_sent(request, Wanted.objects).select_related("person"), pk=pk)
    form = WantedCloseForm(request.POST or None)

    def act() -> str:
        close_wanted(wanted=wish, by=request.user, on=today(), **form.cleaned_data)
        messages.success(request, "No longer looked for.")
        return reverse("shop:wanted")

    if answer := answer_form(request, form, act):
        return answer
    return render(request, "shop/wanted_close.html", {"form": form, "wish": wish})
