"""Reports of the books: a table, a plain picture of it, and the same table as CSV."""

from datetime import date, timedelta

from django.contrib.auth.decorators import permission_required
from django.http import Http404
from django.shortcuts import render
from django.views.decorators.http import require_GET

from instruments.drawings.amount_bars import CUTS, AmountBar, amount_bars
from instruments.exports import csv_response
from shop.forms.reports import RangeForm
from shop.report_ground import Between, Report
from shop.report_table import report_table, shown_rows
from shop.reports import REPORTS, Kind
from shop.views.answers import today
from workorders.currency import in_words

LONG_AGO = date(1990, 1, 1)


@require_GET
@permission_required("shop.see_costs", raise_exception=True)
def report_list(request):
    return render(request, "shop/report_list.html", {"reports": REPORTS.items()})


@require_GET
@permission_required("shop.see_costs", raise_exception=True)
def report_page(request, report):
    kind, form, built = _built(request, report)
    context = {
        "kind": kind,
        "slug": report,
        "reports": REPORTS.items(),
        "form": form,
        "report": built,
        "rows": shown_rows(built),
        "drawings": [_drawn(kind, built, cut) for cut in CUTS] if built.bars else [],
    }
    return render(request, "shop/report_page.html", context)


@require_GET
@permission_required("shop.see_costs", raise_exception=True)
def report_export(request, report):
    _, _, built = _built(request, report)
    return csv_response(f"{report}-{today():%Y-%m-%d}.csv", *report_table(built))


def _built(request, report: str) -> tuple[Kind, RangeForm, Report]:
    kind = REPORTS.get(report)
    if kind is None:
        raise Http404
    form = RangeForm(request.GET)
    return kind, form, kind.build(_between(form), today())


def _between(form: RangeForm) -> Between:
    """Days left out are open; what cannot be read is told beside its field and leaves everything shown."""
    chosen = form.cleaned_data if form.is_valid() else {}
    since, until = chosen.get("since") or LONG_AGO, chosen.get("until") or today() + timedelta(days=1)
    return Between(since, until)


def _drawn(kind: Kind, built: Report, cut):
    bars = [
        AmountBar(bar.label, bar.amount, in_words(bar.amount) if bar.is_money else str(bar.amount))
        for bar in built.bars
    ]
    return amount_bars(kind.title, f"{built.bars_are}. The table below has every figure.", bars, cut)
