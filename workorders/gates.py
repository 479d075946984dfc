"""Structure before looks: plank, frame, bridges, board and pests come before money goes into looks."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import Exists, OuterRef

from instruments.models import Finding
from instruments.models.together import asking
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


@asking
def wanting_before(items: Iterable[WorkItem]):
    """`Gate` by key: of many open items, those on looks that structure found wanting holds up, its first.

    Open structure is work that can be planned, and so no gate of this kind.
    """
    looks = [item for item in items if item.concern == Concern.LOOKS]
    if not looks:
        return {}
    pieces = {item.order.instrument_id for item in looks}
    waivers, structure, faults = yield (
        GateWaiver.objects.filter(item__in=[item.pk for item in looks]),
        gate_items().filter(order__instrument__in=pieces, stood=Stood.WANTING).select_related("order"),
        gate_findings().filter(instrument__in=pieces).select_related("instrument"),
    )
    passed = {(each.item_id, each.gate_id) for each in waivers if each.stood == Stood.WANTING}
    passed_findings = {(each.item_id, each.finding_id) for each in waivers if each.finding_id}
    wanting = [(each.order.instrument_id, each) for each in structure]
    found = [(each.instrument_id, each) for each in faults]
    before: dict[int, Gate] = {}
    for item in looks:
        piece = item.order.instrument_id
        gates = [
            Gate(Stood.WANTING, item=gate)
            for of, gate in wanting
            if of == piece and (item.pk, gate.pk) not in passed
        ]
        gates += [
            Gate(Stood.WANTING, finding=gate)
            for of, gate in found
            if of == piece and (item.pk, gate.pk) not in passed_findings
        ]
        if gates:
            before[item.pk] = gates[0]
    return before


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
