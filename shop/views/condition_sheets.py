"""Condition sheets as PDF: one report, or two side by side."""

from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_GET

from instruments.models import ConditionReport
from shop.actions.condition_sheets import condition_pair_of, condition_sheet_of
from shop.trial_reports import other_side_of
from shop.views.answers import today
from shop.views.papers import pdf_answer


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def condition_sheet(request, stock_number, pk):
    report = _report(stock_number, pk)
    pdf = condition_sheet_of(report, on=today(), other_side=_named(request, report))
    return pdf_answer(pdf, f"{stock_number}-condition-{report.looked_on}.pdf")


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def condition_pair_sheet(request, stock_number, pk, other):
    """In the order of their days, whichever way round they were asked for."""
    first, second = sorted(
        (_report(stock_number, pk), _report(stock_number, other)), key=lambda each: (each.looked_on, each.pk)
    )
    pdf = condition_pair_of(first, second, on=today(), other_side=_named(request, second))
    return pdf_answer(pdf, f"{stock_number}-condition-{first.looked_on}-and-{second.looked_on}.pdf")


def _report(stock_number: str, pk: int) -> ConditionReport:
    reports = ConditionReport.objects.select_related("instrument", "begun_by")
    return get_object_or_404(reports, pk=pk, instrument__stock_number=stock_number)


def _named(request, report: ConditionReport) -> str:
    """People are named only to those whose work needs them; a blank line to sign on does as well."""
    return other_side_of(report) if request.user.has_perm("shop.see_people") else ""
