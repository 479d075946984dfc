from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from instruments.exports import csv_response
from shop.forms.stock import StockForm
from shop.pages import one_page
from shop.stock import state_words, with_purchase
from shop.stock_export import stock_table

PAGE_SIZE = 30


@require_GET
def stock(request):
    form = StockForm(request.GET)
    page = one_page(form.found(), request.GET.get("page"), size=PAGE_SIZE)
    for instrument in page.object_list:
        instrument.state_words = state_words(instrument)
    template = "shop/stock.html#results" if request.htmx else "shop/stock.html"
    return render(request, template, {"form": form, "page": page})


@require_GET
def stock_export(request):
    """The list as it is filtered on the page."""
    found = StockForm(request.GET).found()
    with_costs = request.user.has_perm("shop.see_costs")
    heading, rows = stock_table(with_purchase(found) if with_costs else found, with_costs=with_costs)
    return csv_response(f"stock-{timezone.localdate():%Y-%m-%d}.csv", heading, rows)
