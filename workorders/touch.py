"""The touch that an order of work is held to: its customer's, where one is agreed, else the instrument's."""

from instruments.calc.touchweight import WeighOff
from instruments.drawings.touch_chart import Curve
from instruments.models import Weighing
from instruments.touch import curve_of, verdict_of
from workorders.models import WorkOrder


def curve_for(order: WorkOrder) -> Curve:
    if not order.has_own_touch:
        return curve_of(order.instrument)
    return Curve(
        bass_g=order.touch_bass_g,
        middle_g=order.touch_middle_g,
        treble_g=order.touch_treble_g,
        tolerance_g=order.touch_tolerance_g,
    )


def verdict_for(order: WorkOrder, weighing: Weighing) -> WeighOff:
    """A weigh-off held against the touch that this order asks for."""
    return verdict_of(weighing, curve=curve_for(order))
