"""Receipts for what was paid and what was given back, and the list of them by day."""

from django.contrib.auth.decorators import permission_required
from django.core.paginator import Paginator
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET, require_http_methods

from instruments.exports import csv_response
from shop.actions.receipts import issue_receipt, paper_of
from shop.forms.reports import RangeForm
from shop.models import Receipt
from shop.receipt_lists import days_of, numbers_lacking, receipt_table, receipts_between, sums_of
from shop.views.answers import today
from shop.views.papers import printed_answer

A_PAGE = 60


@require_GET
@permission_required("shop.run_shop", raise_exception=True)
def receipt_list(request):
    """Days that cannot be read are told beside their field and leave all of them shown."""
    form = RangeForm(request.GET)
    receipts = receipts_between(*_days(form))
    page = Paginator(receipts, A_PAGE).get_page(request.GET.get("page"))
    context = {
        "form": form,
        "page": page,
        "days": days_of(page.object_list),
        "sums": sums_of(receipts),
        "lacking": numbers_lacking(),
    }
    return render(request, "shop/receipt_list.html", context)


@require_GET
@permission_required("shop.run_shop", raise_exception=True)
def receipt_export(request):
    receipts = receipts_between(*_days(RangeForm(request.GET)))
    return csv_response(f"receipts-{today():%Y-%m-%d}.csv", *receipt_table(receipts))


def _days(form: RangeForm) -> tuple:
    chosen = form.cleaned_data if form.is_valid() else {}
    return chosen.get("since"), chosen.get("until")


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def receipt_print(request, number):
    """The receipt as it was printed the first time."""
    beside = (
        "payment__person",
        "payment__promise__instrument",
        "payment__commission__order__instrument",
        "payment__refunds__receipt",
        "pays_out__person",
    )
    receipt = get_object_or_404(Receipt.objects.select_related(*beside), number=number)
    return printed_answer(
        request,
        f"receipt-{number}.pdf",
        kept=paper_of(receipt),
        keep=lambda: issue_receipt(receipt=receipt, by=request.user),
    )
