"""The task library: loaded from its files, then the shop's own."""

from collections.abc import Collection
from dataclasses import dataclass
from decimal import Decimal

from django.db import transaction

from instruments.actions.history import save_tracked
from instruments.problems import Refused, refuse_if_blocked
from workorders.calc.sequence import circle_in
from workorders.library import task_set_table, task_table
from workorders.models import Task
from workorders.problems import task_needs_problems

FIGURES = ("figure_low", "figure_high")


@dataclass(frozen=True)
class TaskSet:
    """Tasks that are usually ordered together."""

    code: str
    name: str
    note: str
    tasks: tuple[Task, ...]

    @property
    def usual_minutes(self) -> int:
        return sum(task.usual_minutes for task in self.tasks)


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


def task_sets() -> list[TaskSet]:
    """The ready-made sets, each with those of its tasks that are in use."""
    known = {task.code: task for task in Task.objects.in_use()}
    return [
        TaskSet(
            code=row["code"],
            name=row["name"],
            note=row["note"],
            tasks=tuple(known[code] for code in row["tasks"] if code in known),
        )
        for row in task_set_table()
    ]


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
    wanted = {name: value for name, value in row.items() if name != "needs"}
    wanted |= {name: Decimal(row[name]) for name in FIGURES if row.get(name) is not None}
    before = task or Task(is_as_shipped=True)
    if task and all(getattr(before, name) == value for name, value in wanted.items()):
        return None
    for name, value in wanted.items():
        setattr(before, name, value)
    save_tracked(before, by=None, why="Loaded from the library")
    return before


def _refuse_a_circle() -> None:
    needs: dict[str, set[str]] = {}
    for waiting, first in Task.needs.through.objects.values_list("from_task__code", "to_task__code"):
        needs.setdefault(waiting, set()).add(first)
    if circle := circle_in(needs):
        raise Refused(
            f"The library's tasks would wait for one another: {', '.join(circle)}. Nothing was loaded."
        )
