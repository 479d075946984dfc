from collections.abc import Iterable
from datetime import date
from decimal import Decimal

from django.db import transaction

from instruments.models import Instrument, KeyReading, Weighing
from instruments.problems import refuse_if_blocked, weighing_problems
from instruments.states import Stage


@transaction.atomic
def record_weighing(
    *,
    instrument: Instrument,
    readings: Iterable[tuple[int, Decimal, Decimal | None]],
    by,
    on: date,
    stage: str = Stage.AS_FOUND,
    humidity_percent: Decimal | None = None,
    note: str = "",
) -> Weighing:
    """Write down a weigh-off: (key, down-weight, up-weight) in grams, key 1 being A0.

    An up-weight of None says that the key did not return by itself. Raises Blocked when a reading cannot be.
    """
    readings = [(key, _grams(down), _grams(up)) for key, down, up in readings]
    refuse_if_blocked(weighing_problems(instrument, readings))
    weighing = Weighing.objects.create(
        instrument=instrument,
        stage=stage,
        weighed_on=on,
        weighed_by=by,
        humidity_percent=humidity_percent,
        note=note,
    )
    KeyReading.objects.bulk_create(
        KeyReading(weighing=weighing, key=key, down_g=down, up_g=up) for key, down, up in readings
    )
    return weighing


def _grams(value) -> Decimal | None:
    return None if value is None else Decimal(str(value))
