"""Ready-made sets of tasks, and how the owner makes them the shop's own."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from workorders.forms.tasks import TaskSetForm
from workorders.models import TaskSet
from workorders.views.answers import answer_or_show


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def task_set_list(request):
    return render(request, "workorders/task_set_list.html", {"sets": TaskSet.objects.with_tasks()})


@require_http_methods(["GET", "POST"])
@permission_required("workorders.run_bench", raise_exception=True)
def task_set_add(request):
    return _set_form(request, TaskSet(), heading="Add a set", said="is there to be chosen")


@require_http_methods(["GET", "POST"])
@permission_required("workorders.run_bench", raise_exception=True)
def task_set_edit(request, code):
    task_set = get_object_or_404(TaskSet, code=code)
    return _set_form(request, task_set, heading="Change a set", said="is changed")


def _set_form(request, task_set: TaskSet, *, heading: str, said: str):
    form = TaskSetForm(request.POST or None, instance=task_set)

    def act() -> str:
        saved = form.save_by(request.user)
        messages.success(request, f"“{saved.name}” {said}.")
        return f"{reverse('workorders:task_set_list')}#set-{saved.code}"

    return answer_or_show(
        request, form, act, template="workorders/task_set_form.html", heading=heading, task_set=task_set
    )
