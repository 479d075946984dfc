"""The whole workshop by person, by order and by week, and what is stuck."""

from django.contrib.auth.decorators import permission_required
from django.shortcuts import render
from django.views.decorators.http import require_GET

from workorders.plan_charts import orders_chart, stuck_chart
from workorders.views.answers import today
from workorders.week_plan import week_plan


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def plan(request):
    found = week_plan(on=today())
    estimates, stuck = found.estimates, found.stuck
    context = {
        "plan": found,
        "orders_chart": orders_chart(estimates, first=found.on, last=found.last_day) if estimates else None,
        "stuck_chart": stuck_chart(stuck, on=found.on) if stuck else None,
    }
    return render(request, "workorders/plan.html", context)
