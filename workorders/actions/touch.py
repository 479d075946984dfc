"""The touch that one order asks for, where a customer wants another than the instrument's."""

from django.db import transaction

from instruments.actions.history import save_tracked
from instruments.drawings.touch_chart import Curve
from instruments.problems import Blocked, Blocker
from workorders.actions.holding import hold_order
from workorders.models import WorkOrder


@transaction.atomic
def aim_order(*, order: WorkOrder, curve: Curve | None, reason: str = "", by) -> WorkOrder:
    """Hold the weigh-offs of an open order to a curve of its own, or to the instrument's again (None).

    The instrument's own target is left alone: only somebody's press changes that.
    """
    order = hold_order(order)
    if not order.is_open:
        raise Blocked([Blocker(f"{order.number} is closed; its touch stands as it was judged.")])
    if curve and not reason.strip():
        raise Blocked([Blocker("Say whose touch it is.")])
    order.touch_bass_g, order.touch_middle_g = (curve.bass_g, curve.middle_g) if curve else (None, None)
    order.touch_treble_g = curve.treble_g if curve else None
    order.touch_tolerance_g = curve.tolerance_g if curve else None
    order.touch_reason = reason.strip()[:200] if curve else ""
    why = order.own_touch_words or "the instrument’s own"
    save_tracked(order, by=by, why=f"Touch of {order.number}: {why}")
    return order
