"""The shop's usual minutes learn from its own finished jobs."""

from datetime import date

from django.db import transaction

from instruments.actions.history import save_tracked
from instruments.problems import refuse_if_blocked
from workorders.calc.durations import minutes_words
from workorders.learning import history_of
from workorders.learning_problems import median_problems
from workorders.models import Task


@transaction.atomic
def use_median(*, task: Task, seen: int, by, on: date) -> Task:
    """Take the median of a task's finished jobs as its usual minutes; `seen` is the one the person was shown.

    Open orders keep the estimate they were opened with. Raises Blocked with fewer than three finished jobs,
    or when the median has changed since it was shown.
    """
    task = Task.objects.select_for_update().get(pk=task.pk)
    history = history_of(task)
    refuse_if_blocked(median_problems(history, seen=seen))
    count = history.figures.count
    before, task.usual_minutes = task.usual_minutes, history.figures.usual
    task.minutes_source = f"median of {count} finished jobs of our own, {on:%-d %B %Y}"
    task.is_as_shipped = False  # the library's file no longer decides
    change = f"from {minutes_words(before)} to {minutes_words(task.usual_minutes)}"
    why = f"Usual minutes of “{task.name}” {change}: the median of {count} finished jobs"
    save_tracked(task, by=by, why=why)
    return task
