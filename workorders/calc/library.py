"""What a table of tasks must get right before a shop can work by it."""

from collections.abc import Sequence

from workorders.calc.sequence import circle_in


def library_faults(tasks: Sequence[dict]) -> list[str]:
    """A sentence for each fault in a table of tasks (rows as in fixtures/tasks.json); [] when it is sound."""
    codes = [task["code"] for task in tasks]
    needs = {task["code"]: task["needs"] for task in tasks}
    faults = [f"{code} stands there twice." for code in sorted({c for c in codes if codes.count(c) > 1})]
    for task in tasks:
        unknown = [need for need in task["needs"] if need not in needs]
        faults += [f"{task['code']} needs {need}, which is not in the table." for need in unknown]
        faults += _figure_faults(task)
    if circle := circle_in(needs):
        faults.append(f"These wait for one another: {', '.join(circle)}.")
    return faults


def _figure_faults(task: dict) -> list[str]:
    if task["acceptance"] != "figure":
        return []
    faults = []
    if not task.get("figure_name") or not task.get("figure_unit"):
        faults.append(f"{task['code']} closes on a figure without a name or a unit.")
    if task.get("figure_low") is None and task.get("figure_high") is None:
        faults.append(f"{task['code']} closes on a figure without a limit.")
    return faults
