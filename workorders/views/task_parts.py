from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.http import require_http_methods

from workorders.actions.task_parts import set_task_parts
from workorders.forms.task_parts import TaskPartsForm
from workorders.models import Task
from workorders.views.answers import answer_or_show


@require_http_methods(["GET", "POST"])
@permission_required("workorders.run_bench", raise_exception=True)
def task_parts(request, code):
    task = get_object_or_404(Task, code=code)
    form = TaskPartsForm(request.POST or None, task=task)

    def act() -> str:
        set_task_parts(task=task, parts=form.parts, by=request.user)
        messages.success(request, f"What “{task.name}” usually takes is saved.")
        return f"{reverse('workorders:task_list')}#task-{task.code}"

    return answer_or_show(request, form, act, template="workorders/task_parts.html", task=task)
