"""A work order: its steps, and what may be done with it."""

from django.contrib.auth.decorators import permission_required
from django.shortcuts import render
from django.views.decorators.http import require_GET

from workorders.problems import order_problems
from workorders.steps import steps_of
from workorders.views.answers import the_order


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def order_page(request, number):
    order = the_order(number)
    steps = steps_of([order])[order.pk]
    context = {"order": order, "work": steps, "problems": order_problems(order)}
    return render(request, "workorders/order_page.html", context)
