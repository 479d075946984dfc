"""Which task is suggested for which fault: loaded from its file, then the shop's own."""

from django.db import transaction

from instruments.actions.history import save_tracked
from instruments.key_faults import FAULTS_IN_ORDER
from instruments.states import CONDITIONS_THAT_ARE_FAULTS, Condition, Part
from workorders.calc.library import suggested_for
from workorders.library import suggestion_table
from workorders.models import Task, TaskSuggestion

FAULTY = [condition for condition in Condition if condition in CONDITIONS_THAT_ARE_FAULTS]
# All that a task may be suggested for, in the order of the walk-round, keys after it.
EVERYTHING = (
    *((part.value, condition.value, "") for part in Part for condition in FAULTY),
    *(("", "", fault.value) for fault in FAULTS_IN_ORDER),
)


@transaction.atomic
def load_suggestions() -> list[TaskSuggestion]:
    """Bring the suggestions up to their file, after the tasks; returns what was added or changed.

    One that the shop has changed stays as the shop wants it.
    """
    tasks = {task.code: task for task in Task.objects.all()}
    wanted = {suggested_for(row): tasks.get(row["task"]) for row in suggestion_table()}
    known = {(row.part, row.condition, row.fault): row for row in TaskSuggestion.objects.all()}
    changed = []
    for place in EVERYTHING:
        row, task = known.get(place), wanted.get(place)
        if row and (not row.is_as_shipped or row.task_id == (task and task.pk)):
            continue
        row = row or TaskSuggestion(part=place[0], condition=place[1], fault=place[2], is_as_shipped=True)
        row.task = task
        save_tracked(row, by=None, why="Loaded from the library")
        changed.append(row)
    return changed


@transaction.atomic
def suggest_task(*, suggestion: TaskSuggestion, task: Task | None, by) -> TaskSuggestion:
    """Suggest another task from now on, or none. Work that is ordered stays as it is."""
    suggestion.task, suggestion.is_as_shipped = task, False
    words = f"“{task.name}” is suggested" if task else "No task is suggested"
    save_tracked(suggestion, by=by, why=f"{suggestion}: {words}")
    return suggestion
