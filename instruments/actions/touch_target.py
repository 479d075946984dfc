from decimal import Decimal

from django.db import transaction

from instruments.actions.history import save_tracked
from instruments.calc.exact import plain
from instruments.models import Instrument


@transaction.atomic
def set_touch_target(
    *,
    instrument: Instrument,
    touch_bass_g: Decimal,
    touch_middle_g: Decimal,
    touch_treble_g: Decimal,
    touch_tolerance_g: Decimal,
    touch_reason: str,
    by,
) -> Instrument:
    """Aim the down-weights of one instrument; readings stay, what they are held against changes."""
    current = Instrument.objects.select_for_update().get(pk=instrument.pk)
    current.touch_bass_g, current.touch_middle_g = touch_bass_g, touch_middle_g
    current.touch_treble_g, current.touch_tolerance_g = touch_treble_g, touch_tolerance_g
    current.touch_reason = touch_reason
    weights = " / ".join(plain(grams) for grams in (touch_bass_g, touch_middle_g, touch_treble_g))
    why = f"Touch target {weights} g within {plain(touch_tolerance_g)} g: {touch_reason}"
    save_tracked(current, by=by, why=why)
    return current
