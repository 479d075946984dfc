"""Purchase, costs and asking price of one instrument."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from shop.actions.money import add_cost, add_estimate, record_purchase, set_price
from shop.actions.seller_payments import pay_seller
from shop.cost_entries import lines_of
from shop.costs import true_cost
from shop.forms import CostForm, EstimateForm, PriceForm, PurchaseForm
from shop.forms.money import IN_FULL, LATER, SellerPaymentForm
from shop.ownership import ownership_of
from shop.protected_problems import protected_material_problems
from shop.seller_money import money_of, paid_for
from shop.views.answers import answer_form, the_instrument, today
from workorders.currency import in_words

MOST_PRICES = 60


def _record(request, instrument, form, *, act, said: str, heading: str, lede: str, section: str, problems=()):
    """Show the form; when it is valid, act once, say so and go back to the instrument's own section."""

    def acted() -> str:
        act(form.cleaned_data)
        messages.success(request, said)
        return f"{instrument.get_absolute_url()}#{section}"

    if answer := answer_form(request, form, acted):
        return answer
    context = {"form": form, "instrument": instrument, "heading": heading, "lede": lede, "problems": problems}
    return render(request, "shop/record_form.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def price_set(request, stock_number):
    instrument = the_instrument(stock_number)
    return _record(
        request,
        instrument,
        PriceForm(request.POST or None, initial=_newest_price(instrument)),
        act=lambda data: set_price(instrument=instrument, by=request.user, on=today(), **data),
        said="Asking price set.",
        heading="Asking price",
        lede="The newest price is the one asked. Earlier ones stay in the record.",
        section="money",
    )


def _newest_price(instrument) -> dict:
    newest = instrument.asking_prices.first()
    return {"amount_minor": newest.amount_minor} if newest else {}


@require_GET
@permission_required("shop.see_costs", raise_exception=True)
def instrument_money(request, stock_number):
    """What it cost line by line, what is still to come, and what it has to bring."""
    instrument = the_instrument(stock_number)
    cost = true_cost(instrument, on=today())
    context = {
        "instrument": instrument,
        "cost": cost,
        "lines": lines_of(instrument, cost, user=request.user),
        "prices": instrument.asking_prices.select_related("set_by")[:MOST_PRICES],
        "estimates": instrument.cost_estimates.select_related("recorded_by")[:MOST_PRICES],
        "seller_money": money_of(instrument),
        "is_stock": ownership_of(instrument).is_stock,
    }
    return render(request, "shop/instrument_money.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("shop.see_costs", raise_exception=True)
def estimate_add(request, stock_number):
    instrument = the_instrument(stock_number)
    return _record(
        request,
        instrument,
        EstimateForm(request.POST or None),
        act=lambda data: add_estimate(instrument=instrument, by=request.user, on=today(), **data),
        said="Estimate recorded.",
        heading="An estimate",
        lede="What one kind of cost is expected to come to, all told. The newest of each kind holds.",
        section="money",
    )


@require_http_methods(["GET", "POST"])
@permission_required("shop.see_costs", raise_exception=True)
def cost_add(request, stock_number):
    instrument = the_instrument(stock_number)

    def act(data):
        add_cost(
            instrument=instrument,
            kind=data["kind"],
            amount_minor=data["amount_minor"],
            note=data["note"],
            by=request.user,
            on=data["spent_on"],
        )

    return _record(
        request,
        instrument,
        CostForm(request.POST or None, initial={"spent_on": today()}),
        act=act,
        said="Cost recorded.",
        heading="A cost",
        lede="What was spent on this instrument outside the bench.",
        section="money",
    )


@require_http_methods(["GET", "POST"])
@permission_required("shop.see_costs", raise_exception=True)
def purchase_record(request, stock_number):
    instrument = the_instrument(stock_number)
    newest = instrument.purchases.first()
    form = PurchaseForm(
        request.POST or None, paid_minor=paid_for(instrument), initial=_as_initial(instrument, newest)
    )
    return _record(
        request,
        instrument,
        form,
        act=lambda data: record_purchase(instrument=instrument, by=request.user, **data),
        said="Purchase recorded.",
        heading="How it came to us",
        lede="A change is written as a new line; the earlier one stays in the record.",
        section="money",
        problems=protected_material_problems(instrument, act="buying"),
    )


def _as_initial(instrument, purchase) -> dict:
    if purchase is None:
        return {}
    money = money_of(instrument)
    settled = LATER if money and money.owed_minor else IN_FULL
    return {name: getattr(purchase, name) for name in PurchaseForm.Meta.fields} | {"settled": settled}


@require_http_methods(["GET", "POST"])
@permission_required("shop.see_costs", raise_exception=True)
def seller_pay(request, stock_number):
    instrument = the_instrument(stock_number)
    money = money_of(instrument)
    if money is None:
        messages.info(request, "Write down first how it came to us, and for what price.")
        return redirect("shop:purchase_record", stock_number)
    initial = {"amount_minor": money.owed_minor or None, "paid_on": today()}
    seller = money.purchase.seller or "the seller"
    return _record(
        request,
        instrument,
        SellerPaymentForm(request.POST or None, money=money, initial=initial),
        act=lambda data: pay_seller(instrument=instrument, by=request.user, **data),
        said="Written down.",
        heading=f"Pay {seller}",
        lede=f"{in_words(money.owed_minor)} of {in_words(money.purchase.price_minor)} is still owed for it.",
        section="money",
    )
