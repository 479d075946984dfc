"""The task library, and how the owner makes it the shop's own."""

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from workorders.calc.stages import STAGES, stage_of
from workorders.forms.tasks import TaskForm
from workorders.learning import history_of
from workorders.models import Task
from workorders.views.answers import answer_or_show


@require_GET
@permission_required("instruments.inspect_instrument", raise_exception=True)
def task_list(request):
    tasks = list(Task.objects.prefetch_related("needs", "typical_parts__consumable"))
    stages = [(name, [task for task in tasks if stage_of(task.rank) == name]) for _, name in STAGES]
    context = {"stages": [stage for stage in stages if stage[1]], "count": len(tasks)}
    return render(request, "workorders/task_list.html", context)


@require_http_methods(["GET", "POST"])
@permission_required("workorders.run_bench", raise_exception=True)
def task_add(request):
    return _task_form(request, Task(), heading="Add a task", said="is in the library")


@require_http_methods(["GET", "POST"])
@permission_required("workorders.run_bench", raise_exception=True)
def task_edit(request, code):
    return _task_form(request, get_object_or_404(Task, code=code), heading="Change a task", said="is changed")


def _task_form(request, task: Task, *, heading: str, said: str):
    form = TaskForm(request.POST or None, instance=task)

    def act() -> str:
        saved = form.save_by(request.user)
        messages.success(request, f"“{saved.name}” {said}.")
        return f"{reverse('workorders:task_list')}#task-{saved.code}"

    return answer_or_show(
        request,
        form,
        act,
        template="workorders/task_form.html",
        heading=heading,
        task=task,
        history=history_of(task) if task.pk else None,
    )
