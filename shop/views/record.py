"""The history of the record itself: every change and every row added, by whom and when."""

from django.shortcuts import render
from django.views.decorators.http import require_GET

from shop.changes import ON_A_PAGE, described, versions_of
from shop.pages import one_page
from shop.views.answers import the_instrument


@require_GET
def record_page(request, stock_number):
    instrument = the_instrument(stock_number)
    page = one_page(versions_of(instrument, user=request.user), request.GET.get("page"), size=ON_A_PAGE)
    context = {"instrument": instrument, "page": page, "versions": described(list(page), user=request.user)}
    return render(request, "shop/record_page.html", context)
