"""A sale cancelled or taken back: what it comes to is shown before it is done."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from instruments.states import Place
from shop.actions.sale_endings import end_sale
from shop.endings import sale_ending_lines
from shop.forms.promises import SaleEndForm
from shop.sale_ending_problems import handing_back_problems
from shop.states import SaleEndingKind
from shop.untouched import part_exchanges_of
from shop.views.answers import answer_form, today
from shop.views.invoices import the_sale

SHOW = "show"  # the button that reckons and does nothing else


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def sale_end(request, number):
    sale = the_sale(number)
    if request.method == "GET" and not sale.promise.is_open:
        messages.info(request, f"{number} has ended already.")
        return redirect(sale)
    taken_in = part_exchanges_of(sale)
    is_with_them = sale.instrument.place == Place.CUSTOMER
    kind = SaleEndingKind.TAKEN_BACK if is_with_them else SaleEndingKind.CANCELLED
    form = SaleEndForm(request.POST or None, initial={"kind": kind}, has_part_exchange=bool(taken_in))

    def act() -> str:
        ending = end_sale(sale=sale, by=request.user, on=today(), **form.cleaned_data)
        messages.success(request, f"{number} has ended. Credit note {ending.credit_note} is ready to print.")
        return sale.get_absolute_url()

    if SHOW not in request.POST and (answer := answer_form(request, form, act)):
        return answer
    keeps = bool(form.is_bound and form.data.get("keep_part_exchange"))
    give_back = (form.data.get("give_back") if form.is_bound else "") or "refund"
    lines = sale_ending_lines(sale, give_back, keep_part_exchange=keeps) if sale.promise.is_open else []
    context = {"form": form, "sale": sale, "lines": lines, "part_exchanges": taken_in}
    if request.htmx and SHOW in request.POST:
        return render(request, "shop/includes/comes_to.html", context)
    context["problems"] = [each for one in taken_in for each in handing_back_problems(one.instrument)]
    return render(request, "shop/sale_end.html", context)
