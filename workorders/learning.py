"""The estimate of each task against what its finished jobs took."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date

from django.db.models import Sum
from django.utils import timezone

from workorders.calc.task_minutes import TaskMinutes, percent_off, task_minutes
from workorders.models import Task, WorkItem

JOBS_READ = 4000
UNUSUAL_SHOWN = 5


@dataclass(frozen=True)
class FinishedJob:
    key: int
    minutes: int
    done_on: date
    stock_number: str
    by_name: str


@dataclass(frozen=True)
class TaskHistory:
    """A task, the figures of its finished jobs, and those of them that are unusual."""

    task: Task
    figures: TaskMinutes
    unusual: tuple[FinishedJob, ...]

    @property
    def percent_off(self) -> int:
        return percent_off(self.task.usual_minutes, self.figures.usual)

    @property
    def can_be_taken(self) -> bool:
        return self.figures.is_enough and self.figures.usual != self.task.usual_minutes


def task_histories(tasks: Collection[Task]) -> list[TaskHistory]:
    """Of those tasks that were finished with time written down; one query, the newest 4,000 jobs.

    Time that was taken back does not count, and a job without any is no measure of the task.
    """
    jobs: dict[int, list[FinishedJob]] = {}
    for row in _finished(tasks):
        jobs.setdefault(row["task"], []).append(
            FinishedJob(
                key=row["pk"],
                minutes=row["minutes"],
                done_on=timezone.localdate(row["closed_at"]),
                stock_number=row["order__instrument__stock_number"],
                by_name=f"{row['closed_by__first_name']} {row['closed_by__last_name']}".strip(),
            )
        )
    return [_history(task, jobs[task.pk]) for task in tasks if task.pk in jobs]


def history_of(task: Task) -> TaskHistory | None:
    return next(iter(task_histories([task])), None)


def _finished(tasks: Collection[Task]):
    return (
        WorkItem.objects.done()
        .filter(task__in=[task.pk for task in tasks])
        .annotate(minutes=Sum("times__minutes"))
        .filter(minutes__gt=0)
        .order_by("-closed_at", "-pk")
        .values(
            *("pk", "task", "minutes", "closed_at", "order__instrument__stock_number"),
            *("closed_by__first_name", "closed_by__last_name"),
        )[:JOBS_READ]
    )


def _history(task: Task, jobs: list[FinishedJob]) -> TaskHistory:
    figures = task_minutes([job.minutes for job in jobs])
    unusual = [job for job in jobs if figures.is_unusual(job.minutes)]
    return TaskHistory(task, figures, tuple(unusual[:UNUSUAL_SHOWN]))
