"""Estimate against actual by task, and the one press that takes the median over."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_POST

from instruments.problems import Refused
from workorders.actions.learning import use_median
from workorders.calc.durations import minutes_words
from workorders.forms.learning import MedianForm
from workorders.learning import task_histories
from workorders.models import Task
from workorders.views.answers import today


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def task_minutes(request):
    histories = task_histories(list(Task.objects.all()))
    return render(request, "workorders/task_minutes.html", {"histories": histories})


@require_POST
@permission_required("workorders.run_bench", raise_exception=True)
def task_minutes_use(request, code):
    """Pressed twice, the second press finds the median in use and changes nothing."""
    task, form = get_object_or_404(Task, code=code), MedianForm(request.POST)
    try:
        if not form.is_valid():
            raise Refused("The median that was shown did not come with it. Nothing was changed.")
        task = use_median(task=task, by=request.user, on=today(), **form.cleaned_data)
        messages.success(request, f"“{task.name}” usually takes {minutes_words(task.usual_minutes)} now.")
    except Refused as refused:
        messages.error(request, str(refused))
    return redirect("workorders:task_minutes")
