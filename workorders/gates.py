"""Structure before looks: plank, frame, bridges, board and pests come before money goes into looks."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import Exists, OuterRef

from instruments.models import Finding
from instruments.problems import Blocker, Problem
from workorders.models import GateWaiver, WorkItem
from workorders.models.gates import gate_findings, gate_items
from workorders.states import Concern, ItemState, Stood


@dataclass(frozen=True)
class Gate:
    """One matter of structure that stands before an item on looks."""

    stood: str
    item: WorkItem | None = None
    finding: Finding | None = None

    @property
    def words(self) -> str:
        if self.finding is not None:
            return f"{self.finding}, found on {self.finding.found_on:%-d %B %Y}, and no work answers for it"
        if self.item.state == ItemState.OPEN:
            return f"“{self.item.name}” is open"
        if self.item.state == ItemState.LEFT:
            return f"“{self.item.name}” was left as it is"
        return f"“{self.item.name}” was accepted without its proof"

    @property
    def link(self) -> str:
        at = self.finding.instrument if self.finding is not None else self.item
        return at.get_absolute_url()


def gates_before(item: WorkItem) -> list[Gate]:
    """What of the structure stands before an item on looks and was not passed over for it."""
    if item.concern != Concern.LOOKS:
        return []
    waivers = GateWaiver.objects.filter(item=item)
    passed_item = waivers.filter(gate=OuterRef("pk"), stood=OuterRef("stood"))
    items = gate_items().filter(order__instrument=item.order.instrument_id).exclude(Exists(passed_item))
    findings = gate_findings().filter(instrument=item.order.instrument_id)
    findings = findings.exclude(Exists(waivers.filter(finding=OuterRef("pk"))))
    return [
        *(Gate(each.stood, item=each) for each in items),
        *(Gate(Stood.WANTING, finding=each) for each in findings.select_related("instrument")),
    ]


def gate_problem(gate: Gate) -> Problem:
    """Why no money goes into an item on looks yet, whatever it was to be spent on."""
    return Blocker(f"Structure before looks: {gate.words}. Prove it first, or ask the owner.", gate.link)


def waivers_of(items: Iterable[WorkItem]) -> list[GateWaiver]:
    """What was passed over for these items, in the order it was."""
    return list(
        GateWaiver.objects.filter(item__in=[item.pk for item in items]).select_related(
            "item", "gate", "finding", "waived_by"
        )
    )
