"""Why the median of finished jobs cannot become the usual minutes."""

from instruments.problems import Blocker, Problem
from workorders.calc.durations import minutes_words
from workorders.calc.task_minutes import ENOUGH
from workorders.learning import TaskHistory


def median_problems(history: TaskHistory | None, *, seen: int) -> list[Problem]:
    count = history.figures.count if history else 0
    if count < ENOUGH:
        have = f"{count} finished {'job has' if count == 1 else 'jobs have'} time written down"
        return [Blocker(f"Only {ENOUGH} or more finished jobs say what is usual; {have}.")]
    median = history.figures.usual
    if median != seen:
        return [Blocker(f"Meanwhile the median is {minutes_words(median)}. Look at it again.")]
    if median == history.task.usual_minutes:
        return [Blocker(f"{minutes_words(median)} is the usual time already.")]
    return []
