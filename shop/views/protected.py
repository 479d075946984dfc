"""Ivory and other protected material: what was found, what may be done, the paper for the file."""

from contextlib import nullcontext

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from instruments.scans import stored_scan
from instruments.views.once import answered_before
from instruments.views.uploads import accepts_uploads
from shop.actions.clearances import record_clearance
from shop.actions.protected_papers import protected_sheet_of
from shop.calc.protected import CAUTION
from shop.forms import ClearanceForm
from shop.forms.clearance import GROUPS
from shop.models import ShopProfile
from shop.protected import protected_file_of
from shop.protected_facts import act_lines, amount_facts, found_facts, paper_facts
from shop.views.answers import act_once, the_instrument, today
from shop.views.papers import pdf_answer

MOST_EARLIER = 30


@require_GET
def protected_materials(request, stock_number):
    instrument = the_instrument(stock_number)
    file = protected_file_of(instrument)
    context = {
        "instrument": instrument,
        "file": file,
        "acts": act_lines(file),
        "amounts": amount_facts(file),
        "law_name": ShopProfile.current().get_jurisdiction_display(),
        "found": found_facts(file),
        "papers": paper_facts(file),
        "earlier": instrument.clearances.select_related("recorded_by")[1 : MOST_EARLIER + 1],
        "scan": _seen_by(request.user, file.clearance),
        "caution": CAUTION,
    }
    return render(request, "shop/protected_materials.html", context)


def _seen_by(user, clearance):
    """The scan of the paper, for whom it is not private."""
    if clearance is None or clearance.scan is None:
        return None
    return clearance.instrument.documents.open_to(user).filter(pk=clearance.scan_id).first()


@require_GET
@permission_required("shop.sell", raise_exception=True)
def protected_sheet(request, stock_number):
    pdf = protected_sheet_of(the_instrument(stock_number), on=today())
    return pdf_answer(pdf, f"{stock_number}-protected-materials.pdf")


@accepts_uploads
@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def clearance_add(request, stock_number):
    instrument = the_instrument(stock_number)
    newest = instrument.clearances.first()
    form = ClearanceForm(
        request.POST or None,
        request.FILES or None,
        instrument=instrument,
        user=request.user,
        initial=_as_on_file(newest),
    )
    if request.method == "POST":
        answer = answered_before(request) or (
            form.is_valid() and _recorded(request, instrument, form, newest)
        )
        if answer:
            return answer
    return render(request, "shop/clearance_form.html", {"form": form, "instrument": instrument})


def _as_on_file(newest) -> dict:
    if newest is None:
        return {}
    names = {name for _, names in GROUPS for name in names}
    return {name: getattr(newest, name) for name in names if hasattr(newest, name)}


def _recorded(request, instrument, form, newest):
    found, prepared = form.found(), form.cleaned_data["new_scan"]
    if not found["scan"] and newest and newest.scan and not _seen_by(request.user, newest):
        found["scan"] = newest.scan  # on file already, but not for these eyes

    with stored_scan(prepared) if prepared else nullcontext() as stored:

        def act() -> str:
            record_clearance(
                instrument=instrument,
                new_scan=stored.fields if stored else None,
                scan_seen_by=form.scan_seen_by,
                by=request.user,
                **found,
            )
            if stored:
                stored.keep()
            messages.success(request, "On file.")
            return reverse("shop:protected_materials", args=[instrument.stock_number])

        return act_once(request, form, act)
