"""What a task of the library usually takes."""

from collections.abc import Collection

from django.db import transaction

from instruments.actions.history import save_tracked
from instruments.problems import Blocked, Blocker
from workorders.models import Task, TaskPart


@transaction.atomic
def set_task_parts(*, task: Task, parts: Collection[TaskPart], by) -> list[TaskPart]:
    """Let a task usually take exactly these, from the stores or by name. The task's history tells it."""
    task = Task.objects.select_for_update(no_key=True).get(pk=task.pk)
    kept = [part.consumable_id for part in parts if part.consumable_id]
    if len(kept) != len(set(kept)):
        raise Blocked([Blocker("The same thing from the stores stands there twice: add the two up.")])
    task.typical_parts.all().delete()
    for part in parts:
        part.pk, part.task = None, task
        part.save(force_insert=True)
    taken = "; ".join(str(part) for part in parts) or "nothing in particular"
    save_tracked(task, by=by, why=f"“{task.name}” usually takes {taken}"[:2000])
    return list(parts)
