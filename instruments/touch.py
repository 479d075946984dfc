"""A kept weigh-off, judged by its instrument's own touch curve."""

from instruments.calc import compass
from instruments.calc.touchweight import Reading, WeighOff, verdict
from instruments.drawings.touch_chart import Curve
from instruments.models import Instrument, Weighing


def curve_of(instrument: Instrument) -> Curve:
    return Curve(
        bass_g=instrument.touch_bass_g,
        middle_g=instrument.touch_middle_g,
        treble_g=instrument.touch_treble_g,
        tolerance_g=instrument.touch_tolerance_g,
    )


def verdict_of(
    weighing: Weighing, instrument: Instrument | None = None, *, curve: Curve | None = None
) -> WeighOff:
    """By the instrument's own curve where no other is given.

    Readings of keys that a later correction of the compass took away are left out.
    """
    instrument = instrument or weighing.instrument
    curve = curve or curve_of(instrument)
    top = compass.top_key(instrument.first_key, instrument.key_count)
    return verdict(
        [
            Reading(reading.key, reading.down_g, reading.up_g)
            for reading in weighing.standing_readings()
            if instrument.first_key <= reading.key <= top
        ],
        first_key=instrument.first_key,
        key_count=instrument.key_count,
        tolerance_g=curve.tolerance_g,
        bass_g=curve.bass_g,
        middle_g=curve.middle_g,
        treble_g=curve.treble_g,
    )
