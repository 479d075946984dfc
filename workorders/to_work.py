"""What was found of an instrument and waits to become work: faults of parts, and faults marked at keys."""

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass

from django.db.models import Prefetch

from instruments.calc.key_lists import keys_text
from instruments.key_faults import KeyFault
from instruments.key_marks import key_strip_of
from instruments.models import Finding, Instrument, KeyMark
from instruments.states import Part
from workorders.models import ItemFinding, ItemKeyMark, Task, TaskSuggestion, WorkItem
from workorders.states import ItemState

# Proven before anything is spent on looks or hammers: a failed frame or plank ends the work.
PROOFS = ("check-frame", "test-pins")
LAST = 10_000  # the rank of what no task is suggested for


@dataclass(frozen=True)
class Need:
    """One fault, of a part or at some keys, with the task suggested for it and the item it became."""

    code: str
    title: str
    keys: str
    note: str
    findings: tuple[Finding, ...]
    marks: tuple[KeyMark, ...]
    suggested: Task | None
    item: WorkItem | None

    @property
    def is_free(self) -> bool:
        """Not work yet, or work that was decided against."""
        return self.item is None or self.item.state == ItemState.LEFT

    @property
    def rank(self) -> int:
        return self.suggested.rank if self.suggested else LAST


def needs_of(instrument: Instrument) -> list[Need]:
    """In the order of work, structure first; in a fixed number of queries."""
    suggested = {
        (row.part, row.condition, row.fault): row.task if row.task and row.task.in_use else None
        for row in TaskSuggestion.objects.select_related("task")
    }
    needs = [*_of_parts(instrument, suggested), *_of_keys(instrument, suggested)]
    return sorted(needs, key=lambda need: need.rank)


def proofs_wanted(instrument: Instrument, needs: Iterable[Need]) -> list[Task]:
    """Frame and plank, where a suggested task comes after them and nobody has proven them or is about to."""
    tasks = {need.suggested.pk for need in needs if need.is_free and need.suggested}
    looked_after = WorkItem.objects.filter(
        order__instrument=instrument, state__in=[ItemState.DONE, ItemState.OPEN], task__code__in=PROOFS
    )
    proofs = Task.objects.in_use().filter(code__in=PROOFS, needed_by__in=tasks).exclude(pk__in=tasks)
    return list(proofs.exclude(items__in=looked_after).distinct().order_by("rank"))


def newest_item(links: Collection[ItemFinding | ItemKeyMark]) -> WorkItem | None:
    """The item that a finding or mark last became."""
    return max((link.item for link in links), key=lambda item: item.pk, default=None)


def findings_waiting(instrument: Instrument):
    """Faults as they stand today, each with the items it became."""
    links = ItemFinding.objects.select_related("item__order")
    return (
        instrument.findings.faults()
        .select_related("found_by")
        .prefetch_related(Prefetch("item_links", links))
    )


def marks_waiting(instrument: Instrument):
    """Open marks, each with the items it became."""
    links = ItemKeyMark.objects.select_related("item__order")
    marks = instrument.key_marks.open().select_related("marked_by")
    return marks.prefetch_related(Prefetch("item_links", links))


def _of_parts(instrument: Instrument, suggested: dict) -> Iterator[Need]:
    order = {part: place for place, part in enumerate(Part.values)}
    at_work = _parts_at_work(instrument)
    for finding in sorted(findings_waiting(instrument), key=lambda row: (order[row.part], row.pk)):
        task = suggested.get((finding.part, finding.condition, ""))
        yield Need(
            code=f"finding-{finding.pk}",
            title=str(finding),
            keys=finding.keys,
            note=finding.note,
            findings=(finding,),
            marks=(),
            suggested=task,
            item=newest_item(finding.item_links.all()) or at_work.get((finding.part, task and task.pk)),
        )


def _parts_at_work(instrument: Instrument) -> dict[tuple[str, int | None], WorkItem]:
    """Open items by part and task: a fault that is found again while it is at work is no new work."""
    links = ItemFinding.objects.filter(finding__instrument=instrument, item__state=ItemState.OPEN)
    return {
        (link.finding.part, link.item.task_id): link.item
        for link in links.select_related("finding", "item__order").order_by("item")
    }


def _of_keys(instrument: Instrument, suggested: dict) -> Iterator[Need]:
    """One for each fault and item: the keys already ordered stand apart from those that are free."""
    strip = key_strip_of(instrument, marks=marks_waiting(instrument))
    for line in strip.faults:
        by_item: dict[int | None, list[KeyMark]] = {}
        items = {mark.pk: _item_at_work(mark) for mark in line.marks}
        for mark in line.marks:
            item = items[mark.pk]
            by_item.setdefault(item and item.pk, []).append(mark)
        for item_pk, marks in by_item.items():
            yield _of_fault(instrument, line.fault, tuple(marks), items[marks[0].pk], item_pk, suggested)


def _of_fault(instrument, fault: KeyFault, marks, item, item_pk, suggested: dict) -> Need:
    notes = dict.fromkeys(mark.note for mark in marks if mark.note)
    return Need(
        code=f"{fault.value}-{item_pk or 'free'}",
        title=fault.label,
        keys=keys_text((mark.key for mark in marks), instrument.first_key, instrument.key_count),
        note="; ".join(notes),
        findings=(),
        marks=marks,
        suggested=suggested.get(("", "", fault.value)),
        item=item,
    )


def _item_at_work(mark: KeyMark) -> WorkItem | None:
    """A mark that is open although its item is closed waits again: the work did not cure it."""
    item = newest_item(mark.item_links.all())
    return item if item and item.is_open else None
