"""Somebody asks for their data, or for it to go; and what is kept of those who did."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.http import content_disposition_header
from django.views.decorators.http import require_GET, require_http_methods

from shop.actions.erasing import erase_person
from shop.actions.person_export import export_of, hand_out
from shop.erasing_problems import erasing_problems
from shop.forms.person_data import AskedForm, EraseForm
from shop.models import ErasureKind, ShopProfile
from shop.name_places import names_of, places_of
from shop.person_rows import WHY
from shop.retention import going_of, kept_of, kept_until, still_kept
from shop.retention_periods import retention_periods
from shop.views.answers import answer_form, today
from shop.views.cards import of_standing_card

MOST = 200


@require_http_methods(["GET", "POST"])
@permission_required("shop.run_shop", raise_exception=True)
@of_standing_card
def person_export(request, person):
    """Everything kept about them in one file; that it was handed out is written down."""
    form = AskedForm(request.POST or None)
    zipped = export_of(person) if form.is_bound and form.is_valid() else b""

    def act() -> str:
        hand_out(person=person, zipped=zipped, by=request.user, **form.cleaned_data)
        messages.success(request, "Written down. The file is made when you press Fetch the file.")
        return f"{request.path}?made=yes"

    if answer := answer_form(request, form, act):
        return answer
    exports = list(person.whole("exports")[:MOST])
    is_made = bool("made" in request.GET and exports)
    context = {"form": form, "person": person, "exports": exports[is_made:], "is_made": is_made}
    return render(request, "shop/person_export.html", context)


@require_GET
@permission_required("shop.run_shop", raise_exception=True)
@of_standing_card
def person_export_file(request, person):
    """The file itself, for whoever has written down that it was asked for."""
    if not person.whole("exports").exists():
        return redirect("shop:person_export", pk=person.pk)
    name = content_disposition_header(True, f"person-{person.pk}.zip")
    headers = {"Content-Disposition": name, "Cache-Control": "private, no-store"}
    return HttpResponse(export_of(person), content_type="application/zip", headers=headers)


@require_http_methods(["GET", "POST"])
@permission_required("shop.run_shop", raise_exception=True)
@of_standing_card
def person_erase(request, person):
    """What will go, what stays and until when, first; then it goes."""
    form = EraseForm(request.POST or None, name=person.name)

    def act() -> str:
        given = {name: form.cleaned_data[name] for name in ("asked_how", "asked_on")}
        erasure = erase_person(person=person, by=request.user, on=today(), **given)
        if erasure.kind == ErasureKind.WHOLE:
            messages.success(request, "Erased. There were no dealings, so nothing is kept.")
            return reverse("shop:people")
        messages.success(request, "Erased. What the books must keep stands here until its day.")
        return reverse("shop:people_kept")

    if answer := answer_form(request, form, act):
        return answer
    return render(request, "shop/person_erase.html", {"form": form, "person": person} | _erasing(person))


def _erasing(person) -> dict:
    """What stands against it, what goes, what stays, and where free words name them."""
    problems = erasing_problems(person, on=today())
    places, are_more = ([], False) if person.closed_on else places_of(person)
    return {
        "problems": problems,
        "blocked": any(problem.is_blocker for problem in problems),
        "going": going_of(person),
        "groups": _groups(kept_of(person)),
        "until": kept_until(person),
        "years": ShopProfile.current().keep_years,
        "places": places,
        "are_more_places": are_more,
        "names": names_of(person),
    }


@require_GET
@permission_required("shop.run_shop", raise_exception=True)
def people_kept(request):
    kept = still_kept()
    context = {"kept": kept[:MOST], "is_cut": len(kept) > MOST, "years": ShopProfile.current().keep_years}
    context["periods"] = retention_periods().values()
    return render(request, "shop/people_kept.html", context | {"today": today()})


def _groups(kept: list[tuple[str, str]]) -> list[tuple[str, list[str]]]:
    found: dict[str, list[str]] = {}
    for group, words in kept:
        found.setdefault(group, []).append(words)
    return [(WHY[group], words) for group, words in found.items()]
