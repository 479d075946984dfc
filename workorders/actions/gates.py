"""The owner lets work on looks go on before the structure is proven, with a reason that stays."""

from datetime import date

from django.db import transaction

from instruments.actions.history import save_tracked
from instruments.problems import Blocked, Blocker, refuse_if_blocked
from workorders.actions.holding import hold_item
from workorders.gates import gates_before
from workorders.models import GateWaiver, WorkItem
from workorders.problems import waiving_problems


@transaction.atomic
def waive_gates(*, item: WorkItem, reason: str, by, on: date) -> list[GateWaiver]:
    """Pass over all of the structure that stands before an item now; what comes up later blocks it again.

    The item no longer waits for what is passed over: a link to it would hold it up all the same.
    """
    item = hold_item(item)
    refuse_if_blocked(waiving_problems(item, by))
    if not reason.strip():
        raise Blocked([Blocker("Say why it may go on before the structure is proven.")])
    gates = gates_before(item)
    waivers = [
        GateWaiver.objects.create(
            item=item,
            gate=gate.item,
            finding=gate.finding,
            stood=gate.stood,
            reason=reason.strip(),
            waived_on=on,
            waived_by=by,
        )
        for gate in gates
    ]
    item.needs.remove(*(gate.item for gate in gates if gate.item))
    passed = "; ".join(gate.words for gate in gates)
    save_tracked(item, by=by, why=f"“{item.name}” may go on although {passed}: {reason.strip()}")
    return waivers
