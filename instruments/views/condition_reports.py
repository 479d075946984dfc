"""Condition reports: the list, one as it stands, two side by side; begun, put right, closed."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from instruments.actions.condition_reports import begin_report, change_report, close_report
from instruments.forms.condition_reports import CloseForm, ComparisonForm, ReportHeadForm
from instruments.models import ConditionReport
from instruments.problems import purchase_problems, report_problems
from instruments.report_ways import ways_on
from instruments.states import Occasion
from instruments.views.answers import answer_form, the_instrument
from instruments.views.findings import the_report, walk_on
from instruments.walks import paired, walk_of

MOST_SHOWN = 60


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def condition_reports(request, stock_number):
    instrument = the_instrument(stock_number)
    context = {
        "instrument": instrument,
        "reports": instrument.condition_reports.select_related("begun_by", "closed_by")[:MOST_SHOWN],
        "form": ComparisonForm(None, instrument=instrument),
    }
    return render(request, "instruments/condition_reports.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("instruments.inspect_instrument", raise_exception=True)
def condition_begin(request, stock_number):
    instrument = the_instrument(stock_number)
    asked = request.GET.get("occasion", "")
    initial = {"looked_on": timezone.localdate()}
    form = ReportHeadForm(
        request.POST or None, initial=initial | ({"occasion": asked} if asked in Occasion.values else {})
    )

    def act() -> str:
        report = begin_report(instrument=instrument, by=request.user, **form.cleaned_data)
        return walk_on(report)

    if answer := answer_form(request, form, act):
        return answer
    context = {
        "instrument": instrument,
        "form": form,
        "open_reports": instrument.condition_reports.open()[:5],
    }
    return render(request, "instruments/condition_begin.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("instruments.inspect_instrument", raise_exception=True)
def condition_edit(request, stock_number, pk):
    report = the_report(stock_number, pk)
    form = ReportHeadForm(request.POST or None, instance=the_report(stock_number, pk))

    def act() -> str:
        change_report(report=report, by=request.user, **form.cleaned_data)
        messages.success(request, "Put right.")
        return report.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    context = {
        "instrument": report.instrument,
        "report": report,
        "form": form,
        "problems": report_problems(report),
    }
    return render(request, "instruments/condition_edit.html", context)


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def condition_report(request, stock_number, pk):
    return _page(request, the_report(stock_number, pk))


@require_POST
@permission_required("instruments.inspect_instrument", raise_exception=True)
def condition_close(request, stock_number, pk):
    report = the_report(stock_number, pk)
    form = CloseForm(request.POST)

    def act() -> str:
        close_report(report=report, by=request.user)
        messages.success(request, "Closed. It stands as it is.")
        return report.get_absolute_url()

    return answer_form(request, form, act) or _page(request, report, form)


def _page(request, report: ConditionReport, form=None):
    walk = walk_of(report)
    context = {
        "instrument": report.instrument,
        "report": report,
        "walk": walk,
        "enders": purchase_problems(walk.findings),
        "ways": ways_on(report, request.user),
        "others": report.instrument.condition_reports.exclude(pk=report.pk)[:MOST_SHOWN],
        "form": form,
    }
    return render(request, "instruments/condition_report.html", context)


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def condition_compare(request, stock_number):
    """Two reports side by side; without two that can be compared, the choice again with what is wrong."""
    instrument = the_instrument(stock_number)
    form = ComparisonForm(request.GET or None, instrument=instrument)
    context = {"instrument": instrument, "form": form}
    if form.is_valid():
        first, second = (walk_of(report) for report in form.in_order)
        parts = paired(first, second)
        context |= {"first": first.report, "second": second.report, "parts": parts} | {
            "reports": (first.report, second.report),
            "changed": [each for each in parts if each.pair.is_changed],
            "unknown": [each for each in parts if each.is_unknown],
            "same": [each for each in parts if each.is_unchanged and not each.is_photographed_twice],
            "same_in_pictures": [each for each in parts if each.is_unchanged and each.is_photographed_twice],
        }
    return render(request, "instruments/condition_compare.html", context)
