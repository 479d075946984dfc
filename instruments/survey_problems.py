"""What cannot be in a survey of pins, pitch or wire; the form says it, the action refuses by it."""

from collections import Counter
from collections.abc import Iterable, Sequence
from decimal import Decimal

from instruments.calc import climate, pin_surveys, pitch_surveys, wire_surveys
from instruments.calc.compass import note_label
from instruments.calc.survey_lines import pin_name
from instruments.problems import Blocker, Problem, key_problems


def pin_survey_problems(instrument, readings: Sequence[tuple[int, int, Decimal]], unit: str) -> list[Problem]:
    """(key, string, torque) in `unit`."""
    if not readings:
        return [Blocker("No pin has a reading yet. Give at least one.")]
    pins = [(key, string) for key, string, _ in readings]
    return [
        *key_problems(instrument, {key for key, _ in pins}),
        *_twice(pin_name(*pin) for pin in pins),
        *_blockers(
            pin_surveys.reading_problem(torque, unit, pin_name(key, string))
            for key, string, torque in readings
        ),
    ]


def pitch_survey_problems(
    instrument, readings: Sequence[tuple[int, Decimal]], unit: str, a4_hz: Decimal
) -> list[Problem]:
    """(key, value) in `unit`."""
    if not readings:
        return [Blocker("No note has a reading yet. Give at least one.")]
    return [
        *key_problems(instrument, {key for key, _ in readings}),
        *_twice(note_label(key) for key, _ in readings),
        *_blockers(
            pitch_surveys.reading_problem(key, float(value), unit, float(a4_hz)) for key, value in readings
        ),
    ]


def wire_survey_problems(
    instrument, readings: Sequence[tuple[int, Decimal, Decimal, int, str]]
) -> list[Problem]:
    """(key, length in mm, diameter in mm, strings, as given)."""
    if not readings:
        return [Blocker("No string has been measured yet. Give at least one.")]
    return [
        *key_problems(instrument, {key for key, *_ in readings}),
        *_twice(note_label(key) for key, *_ in readings),
        *_blockers(
            wire_surveys.reading_problem(key, length, diameter) for key, length, diameter, *_ in readings
        ),
    ]


def climate_problems(temperature_c: Decimal, humidity_percent: Decimal) -> list[Problem]:
    try:
        climate.equilibrium_moisture_percent(float(temperature_c), float(humidity_percent))
    except ValueError as reason:
        return [Blocker(str(reason))]
    return []


def _twice(names: Iterable[str]) -> list[Problem]:
    return [Blocker(f"{name} is given {count} times.") for name, count in Counter(names).items() if count > 1]


def _blockers(sentences: Iterable[str]) -> list[Problem]:
    return [Blocker(sentence) for sentence in sentences if sentence]
