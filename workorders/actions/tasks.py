"""The task library: loaded from its files, then the shop's own."""

from collections.abc import Collection
from decimal import Decimal

from django.db import transaction

from instruments.actions.history import save_tracked
from instruments.problems import Blocked, Blocker, Refused, refuse_if_blocked
from workorders.calc.sequence import circle_in
from workorders.library import task_set_table, task_table
from workorders.models import Task, TaskSet
from workorders.problems import task_needs_problems
from workorders.states import Concern

FIGURES = ("figure_low", "figure_high", "drift_cents")
NOT_OF_THE_ROW = {"needs", "touches"}  # links, and what `manage.py check` holds the caution against


@transaction.atomic
def load_tasks() -> list[Task]:
    """Bring the library up to its file; returns what was added or changed.

    A task that the shop has edited stays as the shop wants it.
    """
    rows = task_table()
    known = {task.code: task for task in Task.objects.all()}
    ours = [row for row in rows if row["code"] not in known or known[row["code"]].is_as_shipped]
    changed = [task for row in ours if (task := _brought_up_to(row, known.get(row["code"])))]
    known |= {task.code: task for task in changed}
    for row in ours:
        known[row["code"]].needs.set([known[code] for code in row["needs"]])
    _refuse_a_circle()
    return changed


@transaction.atomic
def load_task_sets() -> list[TaskSet]:
    """Bring the ready-made sets up to their file, after the tasks; returns what was added or changed.

    A set that the shop has edited stays as the shop wants it.
    """
    tasks = {task.code: task for task in Task.objects.all()}
    known = {each.code: each for each in TaskSet.objects.prefetch_related("tasks")}
    changed = []
    for row in task_set_table():
        before = known.get(row["code"])
        wanted = {tasks[code] for code in row["tasks"]}
        if before and (not before.is_as_shipped or _says(before, row, wanted)):
            continue
        each = before or TaskSet(code=row["code"], is_as_shipped=True)
        each.name, each.note = row["name"], row["note"]
        save_tracked(each, by=None, why="Loaded from the library")
        each.tasks.set(wanted)
        changed.append(each)
    return changed


def task_sets() -> list[TaskSet]:
    """The sets that are offered, each with those of its tasks that are in use."""
    return list(TaskSet.objects.in_use().with_tasks())


@transaction.atomic
def save_task_set(*, task_set: TaskSet, tasks: Collection[Task], by) -> TaskSet:
    """Add or change a set of the shop's own. Orders that were opened with it stay as they are."""
    if not tasks:
        raise Blocked([Blocker("A set holds at least one task.")])
    added = task_set.pk is None
    task_set.is_as_shipped = False
    names = ", ".join(task.name for task in sorted(tasks, key=lambda task: (task.rank, task.name)))
    verb = "added" if added else "changed"
    save_tracked(task_set, by=by, why=f"Set “{task_set.name}” {verb}: {names}")
    task_set.tasks.set(tasks)
    return task_set


@transaction.atomic
def save_task(*, task: Task, needs: Collection[Task], by) -> Task:
    """Add or change a task of the shop's own library. Open orders keep the wording they were opened with."""
    refuse_if_blocked(task_needs_problems(task, needs))
    added = task.pk is None
    task.is_as_shipped = False
    save_tracked(task, by=by, why=f"“{task.name}” {'added to' if added else 'changed in'} the task library")
    task.needs.set(needs)
    return task


def _brought_up_to(row: dict, task: Task | None) -> Task | None:
    """The task with what its row says, saved; None when it says so already."""
    wanted = {"concern": Concern.WORK, "drift_days": None} | {
        name: value for name, value in row.items() if name not in NOT_OF_THE_ROW
    }
    wanted |= {name: Decimal(row[name]) if row.get(name) else None for name in FIGURES}
    before = task or Task(is_as_shipped=True)
    if task and all(getattr(before, name) == value for name, value in wanted.items()):
        return None
    for name, value in wanted.items():
        setattr(before, name, value)
    save_tracked(before, by=None, why="Loaded from the library")
    return before


def _says(task_set: TaskSet, row: dict, tasks: set[Task]) -> bool:
    same_words = (task_set.name, task_set.note) == (row["name"], row["note"])
    return same_words and set(task_set.tasks.all()) == tasks


def _refuse_a_circle() -> None:
    needs: dict[str, set[str]] = {}
    for waiting, first in Task.needs.through.objects.values_list("from_task__code", "to_task__code"):
        needs.setdefault(waiting, set()).add(first)
    if circle := circle_in(needs):
        raise Refused(
            f"The library's tasks would wait for one another: {', '.join(circle)}. Nothing was loaded."
        )
