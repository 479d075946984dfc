"""A weigh-off as it goes on: begun, added to reading by reading, closed. Weights in grams; key 1 is A0."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from django.db import transaction
from django.utils import timezone

from instruments.calc.compass import note_label
from instruments.models import Instrument, KeyReading, Weighing, WeighingClosing
from instruments.problems import (
    closing_problems,
    reading_problems,
    refuse_if_blocked,
    taking_problems,
    weighing_problems,
)
from instruments.states import Stage

Grams = Decimal | None


@dataclass
class Taken:
    """What became of a few readings: the rows that were added, and a sentence for each that was not."""

    rows: list[KeyReading] = field(default_factory=list)
    refused: list[str] = field(default_factory=list)


@transaction.atomic
def begin_weighing(
    *,
    instrument: Instrument,
    by,
    on: date,
    stage: str = Stage.AS_FOUND,
    humidity_percent: Decimal | None = None,
    note: str = "",
) -> Weighing:
    return Weighing.objects.create(
        instrument=instrument,
        stage=stage,
        weighed_on=on,
        weighed_by=by,
        humidity_percent=humidity_percent,
        note=note,
    )


@transaction.atomic
def take_readings(*, weighing: Weighing, readings: Iterable[tuple[int, Grams, Grams]], by) -> Taken:
    """Add (key, down, up) to an open weigh-off; a weight of None stays as it was.

    What is there already is left alone, so that the same readings may arrive twice. A changed weight becomes
    a row that replaces the one before. Blocked when the weigh-off is closed.
    """
    Weighing.objects.select_for_update().get(pk=weighing.pk)
    refuse_if_blocked(taking_problems(weighing))
    standing = {row.key: row for row in weighing.standing_readings()}
    taken = Taken()
    for key, down, up in readings:
        before = standing.get(key)
        down = before.down_g if down is None and before else down
        up = before.up_g if up is None and before else up
        if before and (down, up) == (before.down_g, before.up_g):
            continue
        if sentences := _wrong(weighing.instrument, key, down, up):
            taken.refused += sentences
            continue
        standing[key] = KeyReading.objects.create(
            weighing=weighing,
            key=key,
            down_g=down,
            up_g=up,
            replaces=before,
            taken_by=by,
            taken_at=timezone.now(),
        )
        taken.rows.append(standing[key])
    return taken


@transaction.atomic
def close_weighing(*, weighing: Weighing, by) -> WeighingClosing:
    """Its readings stand from now on. Blocked when nothing was weighed, or when it is closed already."""
    Weighing.objects.select_for_update().get(pk=weighing.pk)
    refuse_if_blocked(closing_problems(weighing))
    return WeighingClosing.objects.create(weighing=weighing, closed_by=by)


@transaction.atomic
def record_weighing(
    *, instrument: Instrument, readings: Iterable[tuple[int, Grams, Grams]], by, on: date, **circumstances
) -> Weighing:
    """Write down a whole weigh-off and close it. Blocked, with nothing kept, when a reading cannot be."""
    readings = [(key, _grams(down), _grams(up)) for key, down, up in readings]
    refuse_if_blocked(weighing_problems(instrument, readings))
    weighing = begin_weighing(instrument=instrument, by=by, on=on, **circumstances)
    at = timezone.now()
    KeyReading.objects.bulk_create(
        KeyReading(weighing=weighing, key=key, down_g=down, up_g=up, taken_by=by, taken_at=at)
        for key, down, up in readings
    )
    close_weighing(weighing=weighing, by=by)
    return weighing


def _wrong(instrument: Instrument, key: int, down: Grams, up: Grams) -> list[str]:
    if down is None:
        return [f"{note_label(key)}: the down-weight comes before the up-weight."]
    problems = reading_problems(instrument.first_key, instrument.key_count, key, down, up)
    return [problem.sentence for problem in problems]


def _grams(value) -> Grams:
    return None if value is None else Decimal(str(value))
