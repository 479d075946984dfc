"""Weigh-offs: begun and gone on with key by key, written down whole, closed, and read."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from instruments.actions.touch_target import set_touch_target
from instruments.actions.weighing import begin_weighing, close_weighing, record_weighing, take_readings
from instruments.forms.touch import TouchTargetForm
from instruments.forms.weighings import ReadingsForm, WeighOffForm
from instruments.models import Weighing
from instruments.problems import Refused
from instruments.touch import verdict_of
from instruments.views.answers import answer_form, the_instrument
from instruments.views.once import answered_before, once
from instruments.views.uploads import accepts_uploads
from instruments.weigh_reports import report_of

MOST_OPEN = 6


@accepts_uploads
@require_http_methods(["GET", "POST"])
@permission_required("instruments.inspect_instrument", raise_exception=True)
def weighing_add(request, stock_number):
    instrument = the_instrument(stock_number)
    form = WeighOffForm(
        request.POST or None, request.FILES or None, instrument=instrument, today=timezone.localdate()
    )

    def act() -> str:
        return _begun(request, form) if form.goes_on else _written_down(request, form)

    if answer := answer_form(request, form, act):
        return answer
    open_ones = instrument.weighings.open().select_related("weighed_by")[:MOST_OPEN]
    context = {"form": form, "instrument": instrument, "open_ones": open_ones}
    return render(request, "instruments/weighing_add.html", context)


def _written_down(request, form: WeighOffForm) -> str:
    weighing = record_weighing(
        instrument=form.instrument, readings=form.readings, by=request.user, **form.circumstances()
    )
    messages.success(request, f"Weigh-off of {len(form.readings)} keys saved.")
    return weighing.get_absolute_url()


def _begun(request, form: WeighOffForm) -> str:
    weighing = begin_weighing(instrument=form.instrument, by=request.user, **form.circumstances())
    take_readings(weighing=weighing, readings=form.readings, by=request.user)
    return _entry_of(weighing)


@accepts_uploads
@require_http_methods(["GET", "POST"])
@permission_required("instruments.inspect_instrument", raise_exception=True)
def weighing_entry(request, stock_number, pk):
    """Readings one after the other; script sends each as it is typed, without it the form does."""
    weighing = _weighing(stock_number, pk)
    if request.method == "GET" and not weighing.is_open:
        return redirect(weighing)
    form = ReadingsForm(request.POST or None, request.FILES or None, weighing=weighing)

    def act() -> str:
        taken = take_readings(weighing=weighing, readings=form.readings, by=request.user)
        if "live" not in request.POST:
            messages.success(request, f"{len(taken.rows)} reading{'s' * (len(taken.rows) != 1)} saved.")
        for sentence in taken.refused:
            messages.warning(request, f"Not saved: {sentence}")
        return _entry_of(weighing)

    if answer := answer_form(request, form, act):
        return answer
    context = {"form": form, "weighing": weighing, "instrument": weighing.instrument}
    context["touch"] = verdict_of(weighing)
    name = "weighing_entry.html#so_far" if request.htmx else "weighing_entry.html"
    return render(request, f"instruments/{name}", context)


@require_POST
@permission_required("instruments.inspect_instrument", raise_exception=True)
def weighing_close(request, stock_number, pk):
    weighing = _weighing(stock_number, pk)

    def act() -> str:
        close_weighing(weighing=weighing, by=request.user)
        messages.success(request, "The weigh-off is closed: its readings stand.")
        return weighing.get_absolute_url()

    try:
        answer = answered_before(request) or once(request, act)
    except Refused as refused:
        for sentence in refused.sentences:
            messages.error(request, sentence)
        answer = None
    return answer or redirect(_entry_of(weighing))


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def weighing_page(request, stock_number, pk):
    weighing = _weighing(stock_number, pk)
    report = report_of(weighing, before=request.GET.get("before", ""))
    context = {
        "instrument": weighing.instrument,
        "weighing": weighing,
        "touch": report.touch,
        "report": report,
    }
    return render(request, "instruments/weighing_page.html", context)


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def weighing_print(request, stock_number, pk):
    """The same on paper, for the bench or the customer."""
    from instruments.documents.weigh_off_layout import weigh_off_sheet

    report = report_of(_weighing(stock_number, pk), before=request.GET.get("before", ""))
    return HttpResponse(
        weigh_off_sheet(report, on=timezone.localdate()),
        content_type="application/pdf",
        headers={
            "Content-Disposition": f'inline; filename="{stock_number}-weigh-off.pdf"',
            "Cache-Control": "private, no-store",
        },
    )


@require_http_methods(["GET", "POST"])
@permission_required("instruments.inspect_instrument", raise_exception=True)
def touch_target(request, stock_number):
    """What the keys of one instrument are aimed at, lighter or heavier than the shop's usual."""
    instrument = the_instrument(stock_number)
    form = TouchTargetForm(request.POST or None, instance=the_instrument(stock_number))

    def act() -> str:
        set_touch_target(instrument=instrument, by=request.user, **form.cleaned_data)
        messages.success(request, "The touch target is set.")
        return f"{instrument.get_absolute_url()}#touch"

    if answer := answer_form(request, form, act):
        return answer
    return render(request, "instruments/touch_target.html", {"form": form, "instrument": instrument})


def _weighing(stock_number: str, pk: int) -> Weighing:
    weighings = Weighing.objects.select_related("instrument", "weighed_by", "closing__closed_by")
    return get_object_or_404(weighings, instrument__stock_number=stock_number, pk=pk)


def _entry_of(weighing: Weighing) -> str:
    return reverse("instruments:weighing_entry", args=[weighing.instrument.stock_number, weighing.pk])
