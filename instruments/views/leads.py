"""Key leads: the drawer, the lever of an instrument's keys, and the plan for those that are out by weight."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from instruments.actions.leads import (
    keep_lead_size,
    measure_lever,
    record_found_leads,
    record_moved_leads,
)
from instruments.forms.leads import FoundLeadsForm, LeadSizeForm, LeverForm
from instruments.leading import lead_plan_of
from instruments.models import LeadSize
from instruments.problems import Refused
from instruments.views.answers import answer_form, the_instrument
from instruments.views.once import answered_before, once

MOST_SIZES = 100
MOST_LEADS = 400


@require_GET
@permission_required("instruments.keep_library", raise_exception=True)
def lead_sizes(request):
    return render(request, "instruments/lead_sizes.html", {"sizes": LeadSize.objects.all()[:MOST_SIZES]})


@require_http_methods(["GET", "POST"])
@permission_required("instruments.keep_library", raise_exception=True)
def lead_size_add(request):
    form = LeadSizeForm(request.POST or None)

    def act() -> str:
        size = keep_lead_size(size=form.filled(), by=request.user)
        messages.success(request, f"In the drawer: {size}.")
        return reverse("instruments:lead_sizes")

    context = {"form": form}
    return answer_form(request, form, act) or render(request, "instruments/lead_size_form.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("instruments.keep_library", raise_exception=True)
def lead_size_edit(request, pk):
    size = get_object_or_404(LeadSize, pk=pk)
    form = LeadSizeForm(request.POST or None, size=size)

    def act() -> str:
        keep_lead_size(size=form.filled(), by=request.user)
        messages.success(request, f"Changed: {size}.")
        return reverse("instruments:lead_sizes")

    if answer := answer_form(request, form, act):
        return answer
    changes = size.history.select_related("history_user")[:20]
    context = {"form": form, "size": size, "changes": changes}
    return render(request, "instruments/lead_size_form.html", context)


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def lead_plan(request, stock_number):
    instrument = the_instrument(stock_number)
    weighing = _the_weighing(request.GET.get("weighing", ""), instrument)
    context = {
        "instrument": instrument,
        "weighing": weighing,
        "plan": lead_plan_of(weighing, instrument) if weighing else None,
        "leads": instrument.key_leads.in_place()[:MOST_LEADS],
    }
    return render(request, "instruments/lead_plan.html", context)


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def lead_plan_print(request, stock_number, pk):
    from instruments.documents.lead_plan_layout import lead_plan_sheet

    instrument = the_instrument(stock_number)
    weighing = get_object_or_404(instrument.weighings, pk=pk)
    plan = lead_plan_of(weighing, instrument)
    if plan is None:
        return redirect("instruments:lever_measure", instrument.stock_number)
    pdf = lead_plan_sheet(plan, instrument, on=timezone.localdate())
    name = f"lead-plan-{instrument.stock_number}.pdf"
    return HttpResponse(
        pdf,
        content_type="application/pdf",
        headers={"Content-Disposition": f'inline; filename="{name}"'},
    )


@require_http_methods(["GET", "POST"])
@permission_required("instruments.inspect_instrument", raise_exception=True)
def lever_measure(request, stock_number):
    instrument = the_instrument(stock_number)
    last = instrument.lever_measures.select_related("measured_by").first()
    form = LeverForm(request.POST or None, last=last, today=timezone.localdate())

    def act() -> str:
        on = form.cleaned_data["measured_on"]
        measure_lever(instrument=instrument, by=request.user, on=on, **form.measures())
        messages.success(request, "The lever of the keys is on file.")
        return reverse("instruments:lead_plan", args=[instrument.stock_number])

    context = {"form": form, "instrument": instrument, "last": last}
    return answer_form(request, form, act) or render(request, "instruments/lever_measure.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("instruments.inspect_instrument", raise_exception=True)
def leads_found(request, stock_number):
    instrument = the_instrument(stock_number)
    form = FoundLeadsForm(request.POST or None, instrument=instrument, today=timezone.localdate())

    def act() -> str:
        on = form.cleaned_data["found_on"]
        kept = record_found_leads(instrument=instrument, leads=form.leads(), by=request.user, on=on)
        messages.success(request, f"{len(kept)} put on file; the others stood there already.")
        return reverse("instruments:lead_plan", args=[instrument.stock_number])

    leads = instrument.key_leads.in_place()[:MOST_LEADS]
    context = {"form": form, "instrument": instrument, "leads": leads}
    return answer_form(request, form, act) or render(request, "instruments/leads_found.html", context)


@require_POST
@permission_required("instruments.inspect_instrument", raise_exception=True)
def leads_moved(request, stock_number, pk):
    """The ticked keys were led as planned."""
    instrument = the_instrument(stock_number)
    weighing = get_object_or_404(instrument.weighings, pk=pk)
    back = f"{reverse('instruments:lead_plan', args=[instrument.stock_number])}?weighing={weighing.pk}"
    if answer := answered_before(request):
        return answer
    plan = lead_plan_of(weighing, instrument)
    ticked, all_done = set(request.POST.getlist("key")), "all" in request.POST
    done = [each for each in plan.treated if all_done or str(each.key) in ticked] if plan else []
    if not done:
        messages.error(request, "Tick the keys whose leads were moved.")
        return redirect(back)

    def act() -> str:
        record_moved_leads(instrument=instrument, plans=done, by=request.user, on=timezone.localdate())
        messages.success(request, f"Written down for {len(done)} of the keys. Weigh them again.")
        return back

    try:
        return once(request, act) or redirect(back)
    except Refused as refused:
        messages.error(request, " ".join(refused.sentences))
        return redirect(back)


def _the_weighing(asked: str, instrument):
    """The weigh-off asked for by its number; the latest one without."""
    weighings = instrument.weighings.with_readings().select_related("weighed_by")
    if asked.isdecimal() and len(asked) < 10:
        return get_object_or_404(weighings, pk=int(asked))
    return weighings.first()
