"""Pins and pitch close an item when the survey is newer than the work and every reading is inside its limits.

The octave from A3 to A4 is held to the limits of pitch, since the ends of a tuned piano are stretched (see
`compass.frequency_hz`); which octave a tuning is set from is common practice, no source. Drift does not hang
on the stretch, and so every note that was read twice counts.
"""

from datetime import timedelta
from decimal import Decimal

from instruments.calc.compass import note_label
from instruments.calc.exact import plain
from instruments.calc.survey_lines import pin_name
from instruments.models import PinSurvey, PitchSurvey
from instruments.pin_report import pin_report
from instruments.pitch_report import PitchReport
from instruments.states import PitchStage
from workorders.lacking import Lacking, listed, older_than_the_work
from workorders.models import WorkItem

A4 = 49
OCTAVE_OF_THE_TUNING = range(37, A4 + 1)
AFTER_A_TUNING = (PitchStage.AFTER_TUNING, PitchStage.SETTLED)
A_TENTH = Decimal("0.1")


def pin_problems(item: WorkItem, survey: PinSurvey | None) -> list[Lacking]:
    if survey is None:
        return [
            Lacking(
                "Measure the pins after the work, then choose that survey here.",
                publicly="the pins were not measured",
            )
        ]
    return [*_old(item, survey, "the pins were not measured after the work"), *_pins_outside(item, survey)]


def lowest_torque(survey: PinSurvey) -> Decimal | None:
    """N·m, to a hundredth."""
    torques = [row.torque_nm for row in pin_report(survey).rows]
    return round(min(torques), 2) if torques else None


def _pins_outside(item: WorkItem, survey: PinSurvey) -> list[Lacking]:
    rows = pin_report(survey).rows
    if not rows:
        return [Lacking(f"{survey} holds no reading.", publicly="the pins were not measured")]
    low, high = item.figure_low, item.figure_high
    problems = []
    for side, out in (
        ("too loose", [row for row in rows if low is not None and row.torque_nm < low]),
        ("too tight", [row for row in rows if high is not None and row.torque_nm > high]),
    ):
        if out:
            named = listed([_with_torque(row) for row in sorted(out, key=lambda row: (row.key, row.string))])
            is_or_are = "is" if len(out) == 1 else "are"
            problems.append(
                Lacking(
                    f"{named} {is_or_are} {side}: every pin has to take {item.limits_words}.",
                    publicly=f"pins that do not take {item.limits_words}: {named}",
                )
            )
    return problems


def pitch_problems(item: WorkItem, survey: PitchSurvey | None) -> list[Lacking]:
    if survey is None:
        return [
            Lacking(
                "Measure the pitch after the work, then choose that survey here.",
                publicly="the pitch was not measured",
            )
        ]
    return [
        *_old(item, survey, "the pitch was not measured after the work"),
        *_as_found(survey),
        *_pitch_outside(item, survey),
        *_drifted(item, survey),
    ]


def a4_cents(survey: PitchSurvey) -> Decimal | None:
    """How far A4 stands from the pitch it was held against, in cents to a tenth; minus is flat."""
    read = [row.cents for row in PitchReport(survey).rows if row.key == A4]
    return round(Decimal(str(read[0])), 1) if read else None


def _old(item: WorkItem, survey: PinSurvey | PitchSurvey, publicly: str) -> list[Lacking]:
    which = f"The survey of {survey.measured_on:%-d %B %Y}"
    return older_than_the_work(item, survey.measured_on, which, publicly=publicly, and_do="Measure again.")


def _as_found(survey: PitchSurvey) -> list[Lacking]:
    if survey.stage != PitchStage.AS_FOUND:
        return []
    return [
        Lacking(
            f"The survey of {survey.measured_on:%-d %B %Y} was taken as found. Measure after the work.",
            publicly="the pitch was not measured after the work",
        )
    ]


def _pitch_outside(item: WorkItem, survey: PitchSurvey) -> list[Lacking]:
    cents = {row.key: _tenths(row.cents) for row in PitchReport(survey).rows}
    if A4 not in cents:
        return [Lacking("A4 was not read. Read it, and its octave.", publicly="the pitch of A4 was not read")]
    out = {
        key: off for key, off in cents.items() if key in OCTAVE_OF_THE_TUNING and not _is_inside(item, off)
    }
    if not out:
        return []
    named = listed([f"{note_label(key)} ({_signed(off)} cents)" for key, off in sorted(out.items())])
    stands = "stands" if len(out) == 1 else "stand"
    return [
        Lacking(
            f"{named} {stands} off the pitch agreed: it has to be {item.limits_words}.",
            publicly=f"off the pitch agreed, where {item.limits_words} is asked for: {named}",
        )
    ]


def _drifted(item: WorkItem, survey: PitchSurvey) -> list[Lacking]:
    if item.drift_cents is None:
        return []
    earlier = earlier_survey(item, survey)
    if earlier is None:
        return [
            Lacking(
                f"Nothing to hold it against: it asks for a survey taken after a tuning at least "
                f"{item.drift_days} days before {survey.measured_on:%-d %B %Y}, with notes read both times.",
                publicly=f"how far it drifts in {item.drift_days} days was not measured",
            )
        ]
    moved = {
        key: off
        for key, cents in PitchReport(survey, earlier=earlier).drift.items()
        if abs(off := _tenths(cents)) > item.drift_cents
    }
    if not moved:
        return []
    named = listed([f"{note_label(key)} ({_signed(off)} cents)" for key, off in sorted(moved.items())])
    most = f"{plain(item.drift_cents)} cents"
    return [
        Lacking(
            f"{named} moved since {earlier.measured_on:%-d %B %Y} by more than {most}. "
            "Tune again and let it settle once more.",
            publicly=f"moved by more than {most} since it was tuned: {named}",
        )
    ]


def earlier_survey(item: WorkItem, survey: PitchSurvey) -> PitchSurvey | None:
    """The newest one after a tuning, old enough, that read some of the same notes."""
    long_before = survey.measured_on - timedelta(days=item.drift_days or 1)
    same_notes = survey.readings.values("key")
    return (
        PitchSurvey.objects.filter(instrument=survey.instrument_id, measured_on__lte=long_before)
        .filter(stage__in=AFTER_A_TUNING, readings__key__in=same_notes)
        .distinct()
        .first()
    )


def _is_inside(item: WorkItem, cents: Decimal) -> bool:
    low, high = item.figure_low, item.figure_high
    return (low is None or cents >= low) and (high is None or cents <= high)


def _with_torque(row) -> str:
    return f"{pin_name(row.key, row.string)} ({plain(round(row.torque_nm, 1))} N·m)"


def _tenths(cents: float) -> Decimal:
    return Decimal(str(cents)).quantize(A_TENTH)


def _signed(cents: Decimal) -> str:
    return f"{cents:+}".replace("-", "−")
