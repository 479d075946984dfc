"""A work order: opened, read, filled, called ready, given up, taken up again."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.paginator import Paginator
from django.shortcuts import render
from django.views.decorators.http import require_GET, require_http_methods

from instruments.views.answers import the_instrument
from workorders.actions.orders import (
    add_items,
    add_own_item,
    close_order,
    describe_order,
    give_up_order,
    open_order,
    reopen_order,
)
from workorders.estimates import estimate_of
from workorders.forms.orders import (
    AddTasksForm,
    OrderDetailsForm,
    OrderForm,
    OwnItemForm,
    ReasonForm,
    SureForm,
)
from workorders.models import WorkOrder, WorkProposal
from workorders.order_rules import beginning_problems
from workorders.plan_charts import chain_chart
from workorders.planning import shop_plan
from workorders.problems import giving_up_problems, order_problems
from workorders.steps import steps_of
from workorders.stock import shortages_of
from workorders.views.answers import answer_or_show, the_order, today

ORDERS_A_PAGE = 30
PROPOSALS_SHOWN = 30
OUTSIDE_SHOWN = 30


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def order_list(request):
    state = "closed" if request.GET.get("state") == "closed" else "open"
    orders = WorkOrder.objects.open() if state == "open" else WorkOrder.objects.closed()
    page = Paginator(orders.select_related("instrument"), ORDERS_A_PAGE).get_page(request.GET.get("page"))
    steps = steps_of(page.object_list)
    context = {
        "page": page,
        "orders": [steps[order.pk] for order in page.object_list],
        "state": state,
        "today": today(),
    }
    return render(request, "workorders/order_list.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("workorders.do_work", raise_exception=True)
def order_open(request, stock_number):
    instrument = the_instrument(stock_number)
    form = OrderForm(request.POST or None, instrument=instrument)

    def act() -> str:
        data = form.cleaned_data
        order = open_order(
            instrument=instrument,
            title=data["title"],
            tasks=form.chosen_tasks(),
            note=data["note"],
            due_on=data["due_on"],
            by=request.user,
            on=today(),
        )
        messages.success(request, f"{order.number} is open.")
        return order.get_absolute_url()

    return answer_or_show(request, form, act, template="workorders/order_open.html", instrument=instrument)


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def order_page(request, number):
    order, on = the_order(number), today()
    estimate = estimate_of(order, shop_plan(on=on)) if order.is_open else None
    context = {
        "order": order,
        "work": steps_of([order])[order.pk],
        "proposals": WorkProposal.objects.told().filter(item__order=order)[:PROPOSALS_SHOWN],
        "problems": order_problems(order) if order.is_open else [],
        "outside": order.outside_jobs.select_related("outworker")[:OUTSIDE_SHOWN],
        "shortages": shortages_of([order]) if order.is_open else [],
        "waits": beginning_problems(order) if order.is_open else [],
        "estimate": estimate,
        "chain": chain_chart(estimate) if estimate and estimate.links else None,
        "today": on,
    }
    return render(request, "workorders/order_page.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("workorders.do_work", raise_exception=True)
def order_add(request, number):
    order = the_order(number)
    form = AddTasksForm(request.POST or None, instrument=order.instrument)

    def act() -> str:
        added = add_items(order=order, tasks=form.chosen_tasks(), by=request.user, on=today())
        count = len(added)
        said = f"{count} item{'s' * (count != 1)} added." if added else "All of that is open already."
        messages.success(request, said)
        return order.get_absolute_url()

    return answer_or_show(request, form, act, template="workorders/order_add.html", order=order)


@require_http_methods(["GET", "POST"])
@permission_required("workorders.do_work", raise_exception=True)
def item_add(request, number):
    order = the_order(number)
    form = OwnItemForm(request.POST or None, instrument=order.instrument)

    def act() -> str:
        item = add_own_item(order=order, by=request.user, on=today(), **form.cleaned_data)
        messages.success(request, f"“{item.name}” added.")
        return item.get_absolute_url()

    return _about(request, order, form, act, heading="Add work in your own words", save="Add it")


@require_http_methods(["GET", "POST"])
@permission_required("workorders.do_work", raise_exception=True)
def order_edit(request, number):
    order = the_order(number)
    form = OrderDetailsForm(request.POST or None, instance=the_order(number))

    def act() -> str:
        describe_order(order=order, by=request.user, **form.cleaned_data)
        messages.success(request, "Saved.")
        return order.get_absolute_url()

    return _about(request, order, form, act, heading="What the order is for", save="Save")


@require_http_methods(["GET", "POST"])
@permission_required("workorders.do_work", raise_exception=True)
def order_close(request, number):
    order = the_order(number)

    def act() -> str:
        close_order(order=order, by=request.user, on=today())
        messages.success(request, f"{order.number} is ready.")
        return order.get_absolute_url()

    return _about(
        request,
        order,
        SureForm(request.POST or None),
        act,
        heading="Is it ready?",
        lede="What was not required and is still open will be left as it is, and say so.",
        problems=order_problems(order),
        save="Call it ready",
    )


@require_http_methods(["GET", "POST"])
@permission_required("workorders.do_work", raise_exception=True)
def order_give_up(request, number):
    order = the_order(number)
    form = ReasonForm(request.POST or None)

    def act() -> str:
        give_up_order(order=order, by=request.user, on=today(), **form.cleaned_data)
        messages.success(request, f"{order.number} is given up. It can be taken up again.")
        return order.get_absolute_url()

    return _about(
        request,
        order,
        form,
        act,
        heading="Give this order up",
        lede="What is open in it is left as it is. Time and parts stay in the cost.",
        problems=giving_up_problems(order, request.user),
        save="Give it up",
    )


@require_http_methods(["GET", "POST"])
@permission_required("workorders.do_work", raise_exception=True)
def order_reopen(request, number):
    order = the_order(number)
    form = ReasonForm(request.POST or None)

    def act() -> str:
        reopen_order(order=order, by=request.user, on=today(), **form.cleaned_data)
        messages.success(request, f"{order.number} is open again.")
        return order.get_absolute_url()

    return _about(
        request,
        order,
        form,
        act,
        heading="Take this order up again",
        lede="What its closing had left is opened with it.",
        save="Open it again",
    )


def _about(request, order, form, act, **page):
    return answer_or_show(
        request, form, act, above=order, about=order.instrument, back=order.get_absolute_url(), **page
    )
