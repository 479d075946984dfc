"""Findings and marked keys become items of work, in the order of work, each once."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from django.db import transaction

from instruments.actions.history import save_tracked
from instruments.calc.compass import parse_keys
from instruments.calc.key_lists import keys_text
from instruments.models import Finding, Instrument, KeyMark
from instruments.problems import Blocked, Blocker
from workorders.actions.holding import hold_instrument
from workorders.actions.orders import add_items, open_order
from workorders.models import ItemFinding, ItemKeyMark, Task, WorkItem, WorkOrder
from workorders.states import ItemState

LONGEST_NOTE = 500
NOTHING_LEFT = "All of that is work already, or has been looked at again since."


@dataclass(frozen=True)
class Wanted:
    """A task for some findings and marked keys."""

    task: Task
    findings: tuple[Finding, ...] = ()
    marks: tuple[KeyMark, ...] = ()


@dataclass(frozen=True)
class WorkMade:
    """The order the work stands in, the items that took something on, and how many of them are new."""

    order: WorkOrder
    items: tuple[WorkItem, ...]
    new_count: int


@transaction.atomic
def work_from_findings(
    *,
    instrument: Instrument,
    wanted: Iterable[Wanted],
    by,
    on: date,
    order: WorkOrder | None = None,
    title: str = "",
    proofs: Iterable[Task] = (),
) -> WorkMade:
    """Make work of findings and marks: in an open order, or in a new one under a title.

    What is work already, was found better since or has been cleared is passed over; a task that is open on
    the instrument takes its findings and keys on. Raises Blocked when nothing is left to do.
    """
    hold_instrument(instrument)
    wanted = _still_wanted(instrument, wanted)
    if not wanted:
        raise Blocked([Blocker(NOTHING_LEFT)])
    tasks = {each.task for each in wanted}
    open_items = _open_items(instrument)
    to_add = (tasks | set(proofs)) - {item.task for item in open_items}
    if order is None and to_add:
        order = open_order(instrument=instrument, title=title, by=by, on=on)
    added = add_items(order=order, tasks=to_add, by=by, on=on) if order else []
    by_task = {item.task_id: item for item in [*open_items, *added]}
    items = []
    for task in sorted(tasks, key=lambda task: (task.rank, task.pk)):
        for_task = [each for each in wanted if each.task == task]
        items.append(_take_on(by_task[task.pk], for_task, instrument, by))
    return WorkMade(order or items[0].order, tuple(items), len(added))


def _still_wanted(instrument: Instrument, wanted: Iterable[Wanted]) -> list[Wanted]:
    """As it stands now that nobody else can change it."""
    wanted = list(wanted)
    findings, marks = _free_findings(instrument), _free_marks(instrument)
    left = [
        Wanted(
            each.task,
            tuple(finding for finding in each.findings if finding.pk in findings),
            tuple(mark for mark in each.marks if mark.pk in marks),
        )
        for each in wanted
    ]
    return [each for each in left if each.findings or each.marks]


def _free_findings(instrument: Instrument) -> set[int]:
    taken = ItemFinding.objects.filter(finding__instrument=instrument).exclude(item__state=ItemState.LEFT)
    faults = instrument.findings.faults()
    return set(faults.exclude(pk__in=taken.values("finding")).values_list("pk", flat=True))


def _free_marks(instrument: Instrument) -> set[int]:
    taken = ItemKeyMark.objects.filter(mark__instrument=instrument, item__state=ItemState.OPEN)
    marks = instrument.key_marks.open()
    return set(marks.exclude(pk__in=taken.values("mark")).values_list("pk", flat=True))


def _open_items(instrument: Instrument) -> list[WorkItem]:
    """One for each task that is open on the instrument; the oldest where there are several."""
    items = WorkItem.objects.open().filter(order__instrument=instrument, task__isnull=False)
    return list(
        {item.task_id: item for item in items.select_related("task", "order").order_by("-pk")}.values()
    )


def _take_on(item: WorkItem, wanted: list[Wanted], instrument: Instrument, by) -> WorkItem:
    """Link an open item to its findings and keys, and let it list them."""
    findings = [finding for each in wanted for finding in each.findings]
    marks = [mark for each in wanted for mark in each.marks]
    ItemFinding.objects.bulk_create(ItemFinding(item=item, finding=finding) for finding in findings)
    ItemKeyMark.objects.bulk_create(ItemKeyMark(item=item, mark=mark) for mark in marks)
    item.keys = _keys_of(item, findings, marks, instrument)
    item.note = _note_of(item, findings)
    what = [str(finding) for finding in findings]
    if marks:
        keys = keys_text((mark.key for mark in marks), instrument.first_key, instrument.key_count)
        faults = dict.fromkeys(mark.get_fault_display().lower() for mark in marks)
        what.append(f"{', '.join(faults)} at {keys}")
    save_tracked(item, by=by, why=f"“{item.name}” takes on: {'; '.join(what)}")
    return item


def _keys_of(item: WorkItem, findings: list[Finding], marks: list[KeyMark], instrument: Instrument) -> str:
    """All keys together; a list that nobody can read by now is left out, its finding still tells it."""
    keys = {mark.key for mark in marks}
    for text in (item.keys, *(finding.keys for finding in findings)):
        try:
            keys |= set(parse_keys(text, instrument.first_key, instrument.key_count))
        except ValueError:
            continue
    return keys_text(keys, instrument.first_key, instrument.key_count) or item.keys


def _note_of(item: WorkItem, findings: list[Finding]) -> str:
    lines = [item.note] if item.note else []
    for finding in findings:
        if finding.note and finding.note not in item.note:
            lines.append(f"{finding.get_part_display()}: {finding.note}")
    words = "\n".join(lines)
    return words if len(words) <= LONGEST_NOTE else f"{words[: LONGEST_NOTE - 1]}…"
