"""Where a sale was agreed, its delivery, and the repairs its buyer asks for."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_http_methods

from shop.actions.sale_course import ask_repair, bring_back, deliver_sale, plan_delivery, write_agreed
from shop.forms.sale_course import (
    AgreedForm,
    DeliveryPlanForm,
    HandOverForm,
    RepairBackForm,
    RepairForm,
)
from shop.models import RepairAsked, Sale
from shop.rejecting import delivered_on
from shop.sale_days import agreed_on_sale, days_of_sale, delivery_of
from shop.views.answers import answer_form, today

ADVICE = "Check the law in force; this is not legal advice."


def the_sale_with_its_trial(number: str) -> Sale:
    rows = Sale.objects.select_related("instrument", "person", "promise", "from_trial__instrument")
    return get_object_or_404(rows, number=number)


def answer_of_sale(request, sale, form, act, **words):
    """The answer to a form about a sale, or its page: `heading`, `lede`, `save` and, if any, `problems`."""
    if answer := answer_form(request, form, act):
        return answer
    return render(request, "shop/sale_record.html", {"form": form, "sale": sale} | words)


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def sale_agreed(request, number):
    sale = the_sale_with_its_trial(number)
    days, written = days_of_sale(sale), agreed_on_sale(sale)
    initial = {"agreed_where": days.agreed_where, "informed_on": days.informed_on}
    initial |= {"is_business": not days.is_consumer, "note": written.note if written else ""}
    form = AgreedForm(request.POST or None, initial=initial)

    def act() -> str:
        write_agreed(sale=sale, by=request.user, note=form.cleaned_data["note"], **form.agreed)
        messages.success(request, "Written down. The buyer’s days follow from it.")
        return sale.get_absolute_url()

    return answer_of_sale(
        request,
        sale,
        form,
        act,
        heading="How it was agreed",
        lede="Away from our shop a buyer may think again for 14 days, and must be told so. " + ADVICE,
    )


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def sale_delivery(request, number):
    sale = the_sale_with_its_trial(number)
    before, days = delivery_of(sale), days_of_sale(sale)
    initial = {"address": sale.person.address, "planned_on": days.deliver_by}
    if before:
        initial |= {name: getattr(before, name) for name in ("address", "access", "mover", "note")}
    form = DeliveryPlanForm(request.POST or None, initial=initial, sold_on=sale.sold_on)

    def act() -> str:
        plan = plan_delivery(sale=sale, by=request.user, **form.cleaned_data)
        messages.success(request, f"To be delivered by {plan.planned_on:%-d %B %Y}.")
        return sale.get_absolute_url()

    return answer_of_sale(
        request,
        sale,
        form,
        act,
        heading="Plan its delivery",
        lede="The day that you agree with the buyer, and what the mover has to know. Until it is handed over "
        "it is at our risk (Consumer Rights Act 2015, s. 29, from memory). " + ADVICE,
    )


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def sale_hand_over(request, number):
    sale = the_sale_with_its_trial(number)
    before = delivery_of(sale)
    initial = {"handed_over_on": delivered_on(sale) or today()}
    if before:
        names = ("mover", "access", "received_by", "set_up_on", "note")
        initial |= {name: getattr(before, name) for name in names}
    not_before = None if sale.from_trial_id else sale.sold_on
    form = HandOverForm(request.POST or None, initial=initial, not_before=not_before)

    def act() -> str:
        deliver_sale(sale=sale, by=request.user, **form.cleaned_data)
        messages.success(request, "Written down: the buyer’s days count from then.")
        return sale.get_absolute_url()

    return answer_of_sale(
        request,
        sale,
        form,
        act,
        heading="Handed over",
        lede=f"The day the buyer of {sale.number} had it. Their days to reject it are counted from then. "
        "A condition report as sold, of this day or the month before, is kept with it.",
    )


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def sale_repair(request, number):
    sale = the_sale_with_its_trial(number)
    form = RepairForm(request.POST or None, initial={"asked_on": today()})

    def act() -> str:
        ask_repair(sale=sale, by=request.user, **form.cleaned_data)
        messages.success(request, "Written down. Their days to reject it stand still until it is back.")
        return sale.get_absolute_url()

    return answer_of_sale(
        request,
        sale,
        form,
        act,
        heading="A repair is asked for",
        lede="From this day the days to reject stand still, and run on when it is back: at least seven more "
        "(Consumer Rights Act 2015, s. 22(6) to (8)). " + ADVICE,
    )


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def sale_repair_back(request, number, pk):
    asked = get_object_or_404(
        RepairAsked.objects.select_related("sale__instrument", "sale__person"), pk=pk, sale__number=number
    )
    form = RepairBackForm(request.POST or None, initial={"back_on": today()})

    def act() -> str:
        bring_back(asked=asked, by=request.user, **form.cleaned_data)
        messages.success(request, "Written down. Their days run on from here.")
        return asked.sale.get_absolute_url()

    return answer_of_sale(
        request,
        asked.sale,
        form,
        act,
        heading="Back after the repair",
        lede=f"Asked for on {asked.asked_on:%-d %B %Y}: {asked.what}. One repair that fails opens a lower "
        "price or the final right to reject (Consumer Rights Act 2015, s. 24(5)). " + ADVICE,
    )
