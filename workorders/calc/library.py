"""What a table of tasks must get right before a shop can work by it."""

from collections.abc import Collection, Sequence

from workorders.calc.sequence import circle_in

CLOSED_BY_LIMITS = {"figure": "a figure", "pins": "a survey of the pins", "pitch": "a survey of pitch"}
# What can hurt, with a word that stands in every caution against it.
HAZARDS = {
    "tension": "string",
    "lifting": "lift",
    "lead": "lead",
    "solvents": "solvent",
    "mould": "mould",
    "moth": "moth",
    "celluloid": "celluloid",
}


def library_faults(tasks: Sequence[dict]) -> list[str]:
    """A sentence for each fault in a table of tasks (rows as in fixtures/tasks.json); [] when it is sound."""
    codes = [task["code"] for task in tasks]
    needs = {task["code"]: task["needs"] for task in tasks}
    faults = [f"{code} stands there twice." for code in sorted({c for c in codes if codes.count(c) > 1})]
    for task in tasks:
        unknown = [need for need in task["needs"] if need not in needs]
        faults += [f"{task['code']} needs {need}, which is not in the table." for need in unknown]
        faults += [*_figure_faults(task), *_caution_faults(task)]
    if circle := circle_in(needs):
        faults.append(f"These wait for one another: {', '.join(circle)}.")
    return faults


def _figure_faults(task: dict) -> list[str]:
    what = CLOSED_BY_LIMITS.get(task["acceptance"])
    if not what:
        return []
    faults = []
    if not task.get("figure_name") or not task.get("figure_unit"):
        faults.append(f"{task['code']} closes on {what} without a name or a unit.")
    if task.get("figure_low") is None and task.get("figure_high") is None:
        faults.append(f"{task['code']} closes on {what} without a limit.")
    return faults


def _caution_faults(task: dict) -> list[str]:
    caution = task.get("caution", "").casefold()
    return [
        f"{task['code']} touches {hazard} and says nothing of it in its caution."
        for hazard in task.get("touches", ())
        if HAZARDS.get(hazard, hazard) not in caution
    ]


def set_faults(sets: Sequence[dict], tasks: Collection[str]) -> list[str]:
    """A sentence for each fault in a table of ready-made sets (rows as in fixtures/task_sets.json)."""
    codes = [row["code"] for row in sets]
    faults = [f"{code} stands there twice." for code in sorted({c for c in codes if codes.count(c) > 1})]
    for row in sets:
        faults += [f"{row['code']} asks for {code}." for code in row["tasks"] if code not in tasks]
    return faults + [f"{row['code']} holds no task." for row in sets if not row["tasks"]]


def suggestion_faults(
    rows: Sequence[dict], tasks: Collection[str], known: Collection[tuple[str, str, str]]
) -> list[str]:
    """A sentence for each fault in a table of suggested tasks (rows as in fixtures/suggested_tasks.json).

    `known` holds what a task may be suggested for: (part, condition, "") or ("", "", fault at keys).
    """
    places = [suggested_for(row) for row in rows]
    faults = [
        f"{_said(place)} stands there twice." for place in sorted({p for p in places if places.count(p) > 1})
    ]
    for row, place in zip(rows, places, strict=True):
        if place not in known:
            faults.append(f"{_said(place)} is nothing that can be found.")
        if row.get("task") not in tasks:
            faults.append(f"{_said(place)} asks for {row.get('task')}, which is not in the library.")
    return faults


def suggested_for(row: dict) -> tuple[str, str, str]:
    """Part, condition and fault of one row; what it does not name is empty."""
    return (row.get("part", ""), row.get("condition", ""), row.get("fault", ""))


def _said(place: tuple[str, str, str]) -> str:
    return " ".join(filter(None, place)) or "A row without a part or fault"
