"""A sale cancelled or taken back: what it comes to is shown before it is done."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from instruments.states import Place
from shop.actions.ledger import value_in
from shop.actions.sale_endings import end_sale
from shop.endings import sale_ending_lines
from shop.forms.promises import SaleEndForm
from shop.refund_days import refund_day
from shop.rejecting import delivered_on
from shop.sale_ending_problems import handing_back_problems
from shop.sale_notice_problems import (
    carriage_back,
    carriage_cautions,
    carriage_of,
    notice_of,
    paid_by,
)
from shop.states import SaleEndingKind
from shop.untouched import part_exchanges_of
from shop.views.answers import answer_form, today
from shop.views.sale_course import the_sale_with_its_trial

SHOW = "show"  # the button that reckons and does nothing else


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def sale_end(request, number):
    sale = the_sale_with_its_trial(number)
    if request.method == "GET" and not sale.promise.is_open:
        messages.info(request, f"{number} has ended already.")
        return redirect(sale)
    taken_in = part_exchanges_of(sale)
    form = SaleEndForm(
        request.POST or None,
        initial=_likeliest(sale),
        paid_minor=value_in(sale.promise),
        allowed_minor=sum(each.price_minor or 0 for each in taken_in),
        carriage_minor=carriage_of(sale),
    )

    def act() -> str:
        ending = end_sale(sale=sale, by=request.user, on=today(), **form.cleaned_data)
        messages.success(request, f"{number} has ended.{_to_print(ending)}")
        return sale.get_absolute_url()

    if SHOW not in request.POST and (answer := answer_form(request, form, act)):
        return answer
    context = {"form": form, "sale": sale, "lines": _comes_to(form, sale), "part_exchanges": taken_in}
    if request.htmx and SHOW in request.POST:
        return render(request, "shop/includes/comes_to.html", context)
    context["problems"] = [each for one in taken_in for each in handing_back_problems(one.instrument)]
    notice = notice_of(sale)
    context["problems"] += carriage_cautions(sale, kind=notice.kind if notice else "")
    context |= {"notice": notice, "refund": refund_day(sale, notice) if notice else None}
    return render(request, "shop/sale_end.html", context)


def _to_print(ending) -> str:
    if ending.credits_an_invoice:
        return f" Credit note {ending.credit_note} is ready to print."
    return " Its refund note is ready to print." if ending.given_back_minor else ""


def _likeliest(sale) -> dict:
    """As the buyer’s notice says; else called off while it is here, and by agreement once it is there."""
    notice = notice_of(sale)
    ways = sorted(paid_by(sale))
    first = {"is_back": bool(notice and notice.back_on) or _never_left(sale)}
    if ways:
        first["method"] = ways[0]
    if notice:
        return first | {"kind": notice.kind, "reason": notice.reason}
    is_with_them = sale.instrument.place == Place.CUSTOMER
    return first | {"kind": SaleEndingKind.GOODWILL if is_with_them else SaleEndingKind.CANCELLED}


def _never_left(sale) -> bool:
    return sale.instrument.place != Place.CUSTOMER and delivered_on(sale) is None


def _comes_to(form, sale) -> list:
    if not sale.promise.is_open:
        return []
    charged = carriage_of(sale)
    if not form.is_bound:
        back = carriage_back(form.initial["kind"], charged, None)
        return sale_ending_lines(sale, "refund", keep_part_exchange=False, delivery_minor=back)
    if not form.is_valid() and "deduction_minor" in form.errors:
        return []
    typed = form.cleaned_data.get("delivery_back_minor")
    return sale_ending_lines(
        sale,
        form.data.get("give_back") or "refund",
        keep_part_exchange=bool(form.data.get("keep_part_exchange")),
        deduction_minor=form.cleaned_data.get("deduction_minor") or 0,
        delivery_minor=carriage_back(form.cleaned_data.get("kind", ""), charged, typed),
    )
