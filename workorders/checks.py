"""`manage.py check` reads the task library: a gap in it is an error before anybody works by it."""

from django.core.checks import Error, register

from workorders.actions.suggestions import EVERYTHING
from workorders.calc.library import library_faults, set_faults, suggestion_faults
from workorders.library import suggestion_table, task_set_table, task_table


@register
def task_library_is_sound(app_configs, **options) -> list[Error]:
    tasks = task_table()
    faults = [Error(f"fixtures/tasks.json: {fault}", id="workorders.E001") for fault in library_faults(tasks)]
    codes = {task["code"] for task in tasks}
    return faults + [
        Error(f"fixtures/task_sets.json: {fault}", id="workorders.E002")
        for fault in set_faults(task_set_table(), codes)
    ]


@register
def suggested_tasks_are_in_the_library(app_configs, **options) -> list[Error]:
    codes = [task["code"] for task in task_table()]
    return [
        Error(f"fixtures/suggested_tasks.json: {fault}", id="workorders.E003")
        for fault in suggestion_faults(suggestion_table(), codes, EVERYTHING)
    ]
