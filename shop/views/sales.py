from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET, require_http_methods

from instruments.states import Occasion
from shop.actions.invoices import paper_of
from shop.actions.ledger import credit_of, still_to_pay, take_payment, use_credit, value_in
from shop.actions.people import add_person
from shop.actions.sales import sell
from shop.commissions import commissions_of, standings_of
from shop.forms import CreditForm, PaymentForm, SaleForm
from shop.models import Promise, Sale
from shop.problems import sale_problems
from shop.states import PaperKind, PromiseKind
from shop.untouched import delivered_on, part_exchanges_of
from shop.views.answers import answer_form, the_instrument, today
from workorders.currency import in_words


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def sale_record(request, stock_number):
    instrument = the_instrument(stock_number)
    price = instrument.asking_prices.first()
    form = SaleForm(request.POST or None, initial={"price_minor": price.amount_minor if price else None})

    def act() -> str:
        data = form.cleaned_data
        person = data["person"] or add_person(by=request.user, **form.person_card())
        sale = sell(
            instrument=instrument,
            person=person,
            price_minor=data["price_minor"],
            pay_now_minor=data["pay_now_minor"] or 0,
            credit_minor=data["credit_minor"] or 0,
            method=data["method"],
            reference=data["reference"],
            by=request.user,
            on=today(),
        )
        messages.success(request, f"Sold. Still to pay: {in_words(still_to_pay(sale.promise))}.")
        return sale.get_absolute_url()

    if answer := answer_form(request, form, act):
        return answer
    context = {"form": form, "instrument": instrument, "problems": sale_problems(instrument)}
    return render(request, "shop/sale_form.html", context)


@require_GET
@permission_required("shop.sell", raise_exception=True)
def sale_page(request, number):
    sale = get_object_or_404(
        Sale.objects.select_related("instrument", "person", "promise", "from_trial__instrument"),
        number=number,
    )
    context = {
        "sale": sale,
        "paid_minor": value_in(sale.promise),
        "still_to_pay_minor": still_to_pay(sale.promise),
        "credit_minor": credit_of(sale.person),
        "part_exchanges": part_exchanges_of(sale),
        "delivered_on": delivered_on(sale),
        "payments": sale.promise.payments.all(),
        "standings": standings_of(commissions_of(sale.promise)),
        "credit_entries": sale.promise.credit_entries.all(),
        "ending": getattr(sale, "ending", None),
        "invoice": paper_of(sale, PaperKind.INVOICE),
        "report": sale.instrument.condition_reports.filter(occasion=Occasion.AS_SOLD).first(),
    }
    return render(request, "shop/sale_page.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def payment_take(request, pk):
    """Money toward a trial or a sale that is still to be paid."""
    promise = get_object_or_404(
        Promise.objects.open().exclude(kind=PromiseKind.HOLD).select_related("instrument", "person"), pk=pk
    )
    form = PaymentForm(request.POST or None)

    def act() -> str:
        take_payment(promise=promise, by=request.user, on=today(), **form.cleaned_data)
        messages.success(request, f"Received. Still to pay: {in_words(still_to_pay(promise))}.")
        return page_of(promise)

    if answer := answer_form(request, form, act):
        return answer
    context = {"form": form, "promise": promise, "still_to_pay_minor": still_to_pay(promise)}
    return render(request, "shop/payment_form.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def credit_spend(request, pk):
    """Credit that a person has, put toward what they still have to pay."""
    promise = get_object_or_404(
        Promise.objects.open().select_related("instrument", "person"), pk=pk, kind=PromiseKind.SALE
    )
    form = CreditForm(request.POST or None)

    def act() -> str:
        amount = form.cleaned_data["amount_minor"]
        use_credit(promise=promise, amount_minor=amount, note="", by=request.user, on=today())
        messages.success(request, f"Credit used. Still to pay: {in_words(still_to_pay(promise))}.")
        return page_of(promise)

    if answer := answer_form(request, form, act):
        return answer
    context = {
        "form": form,
        "promise": promise,
        "still_to_pay_minor": still_to_pay(promise),
        "credit_minor": credit_of(promise.person),
    }
    return render(request, "shop/payment_form.html", context)


def page_of(promise: Promise) -> str:
    if promise.kind == PromiseKind.SALE:
        return promise.sale.get_absolute_url()
    return promise.trial.get_absolute_url()
