"""One instrument, one page: everything known of it, and what stands in the way."""

from django.shortcuts import render
from django.views.decorators.http import require_GET

from shop.instrument_page import told_of
from shop.views.answers import the_instrument, today


@require_GET
def instrument_page(request, stock_number):
    told = told_of(the_instrument(stock_number), user=request.user, on=today())
    return render(request, "shop/instrument.html", told)
