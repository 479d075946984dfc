"""What was measured, as a stranger may read it: touch, pins and pitch, the newest of each, dated."""

from collections.abc import Iterable
from dataclasses import dataclass

from instruments.calc.exact import plain
from instruments.models import Instrument
from instruments.pin_report import pin_report
from instruments.pitch_report import PitchReport
from instruments.standings import weighed_statements
from instruments.touch import curve_of, verdict_of
from shop.histories import not_known
from shop.private_names import fit_for_the_public

UNMEASURED = {
    "Touch": "How heavy its touch is: its keys have not been weighed.",
    "Wrest pins": "How tight its wrest pins are in figures: none has been measured.",
    "Pitch": "Its pitch in figures: it has not been measured.",
}


@dataclass(frozen=True)
class Measured:
    title: str
    sentence: str
    basis: str


def public_measures(instrument: Instrument) -> list[Measured]:
    return list(filter(None, (_touch(instrument), _pins(instrument), _pitch(instrument))))


def not_known_of(instrument: Instrument, measures: Iterable[Measured]) -> list[str]:
    """What a buyer might take for granted and nobody here can say, of its story and of its measures."""
    public = fit_for_the_public(instrument, weighed_statements(instrument))
    there = {each.title for each in measures}
    unmeasured = [words for title, words in UNMEASURED.items() if title not in there]
    return [*not_known(instrument, public), *unmeasured]


def _touch(instrument: Instrument) -> Measured | None:
    """Of the newest whole weigh-off, how many keys lie how near to what is aimed at."""
    weighing = instrument.weighings.closed().first()
    weighed = verdict_of(weighing, instrument).keys if weighing else ()
    if not weighed:
        return None
    curve = curve_of(instrument)
    inside = sum(key.inside for key in weighed)
    grams = ", ".join(
        f"{plain(weight)} g {where}"
        for weight, where in (
            (curve.bass_g, "in the bass"),
            (curve.middle_g, "in the middle"),
            (curve.treble_g, "at the top"),
        )
    )
    counted = f"All {inside}" if inside == len(weighed) else f"{inside} of {len(weighed)}"
    sentence = (
        f"{counted} keys weighed go down within {plain(curve.tolerance_g)} g of what we aim at: {grams}."
    )
    air = weighing.humidity_percent
    return Measured(
        "Touch",
        sentence,
        f"{weighing.get_stage_display()}, {weighing.weighed_on:%-d %B %Y}"
        + (f", at {plain(air)} % RH" if air is not None else ""),
    )


def _pins(instrument: Instrument) -> Measured | None:
    survey = instrument.pin_surveys.first()
    if survey is None:
        return None
    survey.instrument = instrument
    return Measured("Wrest pins", pin_report(survey).sentence, f"Measured {survey.measured_on:%-d %B %Y}")


def _pitch(instrument: Instrument) -> Measured | None:
    survey = instrument.pitch_surveys.first()
    if survey is None:
        return None
    survey.instrument = instrument
    basis = f"{survey.get_stage_display()}, {survey.measured_on:%-d %B %Y}"
    return Measured("Pitch", PitchReport(survey).sentence, f"{basis}, against A4 = {plain(survey.a4_hz)} Hz")
