"""The task library as it is shipped: three files that anybody may read."""

import json

from django.conf import settings

TASKS_FILE = settings.BASE_DIR / "fixtures" / "tasks.json"
TASK_SETS_FILE = settings.BASE_DIR / "fixtures" / "task_sets.json"
SUGGESTIONS_FILE = settings.BASE_DIR / "fixtures" / "suggested_tasks.json"


def task_table() -> list[dict]:
    return json.loads(TASKS_FILE.read_text(encoding="utf-8"))


def task_set_table() -> list[dict]:
    return json.loads(TASK_SETS_FILE.read_text(encoding="utf-8"))


def suggestion_table() -> list[dict]:
    """Rows of part and condition, or of a fault at keys, each with the code of the task suggested for it."""
    return json.loads(SUGGESTIONS_FILE.read_text(encoding="utf-8"))
