"""From what was found to what is to be done; and which task is suggested for which fault."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from instruments.views.answers import the_instrument
from workorders.actions.from_findings import work_from_findings
from workorders.actions.suggestions import suggest_task
from workorders.forms.findings import FindingsToWorkForm, SuggestionForm
from workorders.models import TaskSuggestion, WorkOrder
from workorders.to_work import needs_of, proofs_wanted
from workorders.views.answers import answer_or_show, today

ORDERS_OFFERED = 20


@require_http_methods(["GET", "POST"])
@permission_required("workorders.do_work", raise_exception=True)
def findings_to_work(request, stock_number):
    instrument = the_instrument(stock_number)
    needs = needs_of(instrument)
    form = FindingsToWorkForm(
        request.POST or None,
        needs=needs,
        proofs=proofs_wanted(instrument, needs),
        orders=list(WorkOrder.objects.open().filter(instrument=instrument)[:ORDERS_OFFERED])[::-1],
        today=today(),
    )

    def act() -> str:
        made = work_from_findings(
            instrument=instrument, wanted=form.wanted(), by=request.user, on=today(), **form.chosen()
        )
        messages.success(request, _said(made))
        return f"{made.order.get_absolute_url()}#item-{made.items[0].pk}"

    return answer_or_show(
        request, form, act, template="workorders/findings_to_work.html", instrument=instrument
    )


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def suggestion_list(request):
    suggestions = list(TaskSuggestion.objects.select_related("task"))
    context = {
        "parts": [row for row in suggestions if row.part],
        "faults": [row for row in suggestions if row.fault],
    }
    return render(request, "workorders/suggestion_list.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("workorders.run_bench", raise_exception=True)
def suggestion_edit(request, pk):
    suggestion = get_object_or_404(TaskSuggestion.objects.select_related("task"), pk=pk)
    form = SuggestionForm(request.POST or None, suggestion=suggestion)

    def act() -> str:
        suggest_task(suggestion=suggestion, by=request.user, **form.cleaned_data)
        messages.success(request, f"Saved for “{suggestion}”.")
        return f"{reverse('workorders:suggestion_list')}#suggestion-{suggestion.pk}"

    return answer_or_show(
        request, form, act, template="workorders/suggestion_edit.html", suggestion=suggestion
    )


def _said(made) -> str:
    count, known = made.new_count, len(made.items)
    new = f"{count} item{'s' * (count != 1)} added to {made.order.number}" if count else "No new item"
    return f"{new}; {known} took on what was found."
