"""Agreeing on the stages in which a sale is paid, and writing down that one is reached."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.http import Http404
from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_http_methods

from shop.actions.ledger import value_in
from shop.actions.payment_plans import agree_plan, next_version, reach_stage
from shop.forms.payment_plan import LINES, PARTS, PlanForm, StageReachedForm
from shop.models import PlanStage, Sale
from shop.payment_plans import PlanStanding, plan_of
from shop.views.answers import answer_form, today
from shop.views.invoices import the_sale


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def sale_plan(request, number):
    sale = the_sale(number)
    if not sale.promise.is_open:
        raise Http404("This sale does not stand any more.")
    standing = plan_of(sale, on=today())
    form = PlanForm(request.POST or None, initial=_initial(sale, standing))

    def act() -> str:
        agree_plan(sale=sale, stages=form.stages, by=request.user, on=today(), **form.agreed)
        messages.success(request, "The stages are written down as agreed.")
        return f"{sale.get_absolute_url()}#stages"

    if answer := answer_form(request, form, act):
        return answer
    context = {"form": form, "sale": sale, "standing": standing, "paid_minor": value_in(sale.promise)}
    return render(request, "shop/sale_plan.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("shop.sell", raise_exception=True)
def stage_reached(request, pk):
    stages = PlanStage.objects.filter(due_on__isnull=True)
    stage = get_object_or_404(stages.select_related("plan__sale__instrument", "plan__sale__person"), pk=pk)
    form = StageReachedForm(request.POST or None, initial={"reached_on": today()})
    sale = stage.plan.sale

    def act() -> str:
        reach_stage(stage=stage, by=request.user, on=today(), **form.cleaned_data)
        messages.success(request, f"Due from now on: {stage}.")
        return f"{sale.get_absolute_url()}#stages"

    if answer := answer_form(request, form, act):
        return answer
    return render(request, "shop/stage_reached.html", {"form": form, "stage": stage, "sale": sale})


def _initial(sale: Sale, standing: PlanStanding | None) -> dict:
    """The stages as they stand; before there are any, what is paid and the balance."""
    given = {"version": next_version(sale), "agreed_on": today()}
    if standing:
        rows = [{part: getattr(row.stage, part) for part in PARTS} for row in standing.rows]
    else:
        rows = _suggested(sale)
    for line, row in enumerate(rows[:LINES], start=1):
        given |= {f"{part}_{line}": value for part, value in row.items()}
    return given


def _suggested(sale: Sale) -> list[dict]:
    paid, price = value_in(sale.promise), sale.promise.price_minor
    rows = [{"words": "Deposit", "amount_minor": paid, "due_on": sale.sold_on}] if paid else []
    if paid < price:
        rows.append({"words": "Balance", "amount_minor": price - paid, "event": "when it is delivered"})
    return rows
