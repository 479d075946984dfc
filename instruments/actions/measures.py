"""Putting measurements on file: pins, pitch, plain wire, the air of a room."""

from collections.abc import Iterable
from datetime import date
from decimal import Decimal

from django.db import transaction

from instruments.actions.history import save_tracked
from instruments.library import pin_line_table
from instruments.models import (
    ClimateReading,
    HousePitch,
    Instrument,
    PinLine,
    PinReading,
    PinSurvey,
    PitchReading,
    PitchSurvey,
    RaiseChoice,
    WireReading,
    WireSurvey,
    house_a4_hz,
)
from instruments.problems import refuse_if_blocked
from instruments.survey_problems import (
    climate_problems,
    pin_survey_problems,
    pitch_survey_problems,
    wire_survey_problems,
)


@transaction.atomic
def load_pin_lines() -> list[PinLine]:
    """Bring in the shipped lines where the shop has none yet; what the shop changed stays as it is."""
    if PinLine.objects.exists():
        return []
    return [PinLine.objects.create(**line) for line in pin_line_table()]


@transaction.atomic
def keep_pin_line(*, line: PinLine, by) -> PinLine:
    """Add a line, or change one; the history keeps what it was."""
    done = "added" if line.pk is None else "changed"
    save_tracked(line, by=by, why=f"Line {done}: below {line}. {line.meaning}")
    return line


@transaction.atomic
def record_pins(
    *,
    instrument: Instrument,
    readings: Iterable[tuple[int, int, Decimal]],
    unit: str,
    by,
    on: date,
    **circumstances,
) -> PinSurvey:
    """Write down a survey of pins: (key, string, torque) in `unit`, key 1 being A0."""
    readings = list(readings)
    refuse_if_blocked(pin_survey_problems(instrument, readings, unit))
    survey = PinSurvey.objects.create(
        instrument=instrument, unit=unit, measured_on=on, measured_by=by, **circumstances
    )
    PinReading.objects.bulk_create(
        PinReading(survey=survey, key=key, string=string, torque=torque) for key, string, torque in readings
    )
    return survey


@transaction.atomic
def set_house_pitch(*, a4_hz: Decimal, reason: str, by) -> HousePitch:
    """What the shop tunes to from now on; surveys on file keep the A4 they were held against."""
    return HousePitch.objects.create(a4_hz=a4_hz, reason=reason, set_by=by)


@transaction.atomic
def record_pitch(
    *,
    instrument: Instrument,
    readings: Iterable[tuple[int, Decimal]],
    unit: str,
    by,
    on: date,
    a4_hz: Decimal | None = None,
    **circumstances,
) -> PitchSurvey:
    """Write down the pitch of some notes: (key, value) in `unit`, against `a4_hz` or else the shop's own."""
    readings, a4 = list(readings), a4_hz or house_a4_hz()
    refuse_if_blocked(pitch_survey_problems(instrument, readings, unit, a4))
    survey = PitchSurvey.objects.create(
        instrument=instrument, unit=unit, a4_hz=a4, measured_on=on, measured_by=by, **circumstances
    )
    PitchReading.objects.bulk_create(
        PitchReading(survey=survey, key=key, value=value) for key, value in readings
    )
    return survey


@transaction.atomic
def choose_way(*, survey: PitchSurvey, way: str, note: str = "", by) -> RaiseChoice:
    """The way to pitch that the owner chose, when it was put to them."""
    return RaiseChoice.objects.create(survey=survey, way=way, note=note, recorded_by=by)


@transaction.atomic
def record_wires(
    *,
    instrument: Instrument,
    readings: Iterable[tuple[int, Decimal, Decimal, int, str]],
    by,
    on: date,
    a4_hz: Decimal | None = None,
    **circumstances,
) -> WireSurvey:
    """Write down plain wires: (key, length in mm, diameter in mm, strings, as it was given)."""
    readings, a4 = list(readings), a4_hz or house_a4_hz()
    refuse_if_blocked(wire_survey_problems(instrument, readings))
    survey = WireSurvey.objects.create(
        instrument=instrument, a4_hz=a4, measured_on=on, measured_by=by, **circumstances
    )
    WireReading.objects.bulk_create(
        WireReading(
            survey=survey,
            key=key,
            length_mm=length,
            diameter_mm=diameter,
            strings=strings,
            given_as=given_as,
        )
        for key, length, diameter, strings, given_as in readings
    )
    return survey


@transaction.atomic
def record_climate(
    *, room: str, temperature_c: Decimal, humidity_percent: Decimal, by, on: date, **more
) -> ClimateReading:
    """Write down the air of a room: `whose` it is, and `instrument` where one stands in it."""
    refuse_if_blocked(climate_problems(temperature_c, humidity_percent))
    return ClimateReading.objects.create(
        room=room,
        temperature_c=temperature_c,
        humidity_percent=humidity_percent,
        read_on=on,
        read_by=by,
        **more,
    )
