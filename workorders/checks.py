"""`manage.py check` reads the task library: a gap in it is an error before anybody works by it."""

from django.core.checks import Error, register

from workorders.calc.library import library_faults
from workorders.library import task_set_table, task_table


@register
def task_library_is_sound(app_configs, **options) -> list[Error]:
    tasks = task_table()
    faults = [Error(f"fixtures/tasks.json: {fault}", id="workorders.E001") for fault in library_faults(tasks)]
    codes = {task["code"] for task in tasks}
    return faults + [
        Error(f"fixtures/task_sets.json: {row['code']} asks for {code}.", id="workorders.E002")
        for row in task_set_table()
        for code in row["tasks"]
        if code not in codes
    ]
