from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.http import require_GET

from instruments.exports import csv_response
from shop.forms.stock import StockForm, stock_form
from shop.pages import MOST_COUNTED, page_of_keys, part_of_many
from shop.stock import with_purchase
from shop.stock_export import stock_table
from shop.stock_rows import stock_rows

PAGE_SIZE = 30


@require_GET
def stock(request):
    form = stock_form(request.GET.urlencode())
    asked = request.GET.get("page")
    keys = form.keys(most=MOST_COUNTED + 1, part=part_of_many(asked, size=PAGE_SIZE))
    page = page_of_keys(keys, asked, size=PAGE_SIZE)
    template = "shop/stock.html#results" if request.htmx else "shop/stock.html"
    return render(request, template, {"form": form, "page": page, "rows": stock_rows(page.object_list)})


@require_GET
def stock_export(request):
    """The list as it is filtered on the page."""
    found = StockForm(request.GET).found()
    with_costs = request.user.has_perm("shop.see_costs")
    heading, rows = stock_table(with_purchase(found) if with_costs else found, with_costs=with_costs)
    return csv_response(f"stock-{timezone.localdate():%Y-%m-%d}.csv", heading, rows)
