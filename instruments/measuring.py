"""The latest measurements of one instrument: what was measured, when, and what it says."""

from dataclasses import dataclass, replace
from datetime import date

from django.db.models import Count
from django.urls import reverse

from instruments.calc.wire_surveys import summed
from instruments.climate_report import RoomReading
from instruments.models import ClimateReading, Instrument, PinSurvey, PitchSurvey, WireSurvey
from instruments.models.together import asking
from instruments.pin_report import pin_report
from instruments.pitch_report import PitchReport
from instruments.touch import verdict_of


@dataclass(frozen=True)
class Fuller:
    """Of a newest survey that is a sample: how many it read, and an earlier one that read more."""

    read_now: int
    read: int
    on: date
    url: str


@dataclass(frozen=True)
class Measure:
    """One kind of measuring. Without `on` nothing is on file yet."""

    title: str
    nothing: str
    add_url: str
    add_words: str
    on: date | None = None
    who: str = ""
    sentence: str = ""
    more: tuple[str, ...] = ()
    url: str = ""
    fuller: Fuller | None = None


def measures_of(instrument: Instrument) -> list[Measure]:
    """Touch, pins, pitch, strings and air, each by its newest reading."""
    return [_touch(instrument), *surveys_of(instrument)]


@asking
def surveys_of(instrument: Instrument):
    """The same without the touch, which the instrument's page shows whole."""
    newest = yield (
        instrument.pin_surveys.select_related("measured_by")[:1],
        instrument.pitch_surveys.select_related("measured_by")[:1],
        instrument.wire_surveys.select_related("measured_by")[:1],
        instrument.climate_readings.select_related("read_by")[:1],
    )
    told = zip((_pins, _pitch, _strings, _air), newest, strict=True)
    return [tell(instrument, rows.first()) for tell, rows in told]


def _touch(instrument: Instrument) -> Measure:
    kind = ("Touch", "Not weighed off yet.", _add("weighing_add", instrument), "Weigh it off")
    weighing = instrument.weighings.with_readings().select_related("weighed_by").first()
    if weighing is None:
        return Measure(*kind)
    summary = verdict_of(weighing, instrument).summary
    url = reverse("instruments:weighing_page", args=[instrument.stock_number, weighing.pk])
    return Measure(
        *kind, weighing.weighed_on, _name(weighing.weighed_by), summary.sentence, (summary.do_first,), url
    )


def _pins(instrument: Instrument, survey: PinSurvey | None) -> Measure:
    kind = ("Pins", "No pin has been measured yet.", _add("pin_survey_add", instrument), "Measure pins")
    if survey is None:
        return Measure(*kind)
    survey.instrument = instrument
    report = pin_report(survey)
    below = tuple(f"{each.count} below {each.line}." for each in report.counts if each.count)
    shown = _surveyed(kind, survey, report.sentence, below)
    return shown if survey.is_whole else replace(shown, fuller=_fuller(survey, len(report.rows)))


def _fuller(survey: PinSurvey, read_now: int) -> Fuller | None:
    """The fullest of the surveys, the newest of them where they tie, if it read more than this one."""
    counted = survey.instrument.pin_surveys.annotate(read=Count("readings"))
    fullest = counted.filter(read__gt=read_now).order_by("-read", "-measured_on", "-pk").first()
    if fullest is None or fullest.pk == survey.pk:
        return None
    fullest.instrument = survey.instrument
    return Fuller(read_now, fullest.read, fullest.measured_on, fullest.get_absolute_url())


def _pitch(instrument: Instrument, survey: PitchSurvey | None) -> Measure:
    kind = ("Pitch", "Its pitch is not on file.", _add("pitch_survey_add", instrument), "Measure the pitch")
    if survey is None:
        return Measure(*kind)
    survey.instrument = instrument
    report = PitchReport(survey)
    plan = (report.plan.sentence,) if report.plan else ()
    return _surveyed(kind, survey, f"{survey.get_stage_display()}. {report.sentence}", plan)


def _strings(instrument: Instrument, survey: WireSurvey | None) -> Measure:
    kind = (
        "Strings",
        "No plain string has been measured yet.",
        _add("wire_survey_add", instrument),
        "Measure strings",
    )
    if survey is None:
        return Measure(*kind)
    survey.instrument = instrument
    found = summed(survey.wires())
    sentence = f"{found.wires} plain strings pull {found.newtons:,.0f} N together ({found.kgf:,.0f} kgf)."
    return _surveyed(kind, survey, sentence, ())


def _air(instrument: Instrument, reading: ClimateReading | None) -> Measure:
    add = f"{reverse('instruments:climate_add')}?stock={instrument.stock_number}"
    kind = ("Air beside it", "The air beside it is not on file.", add, "Read the air")
    if reading is None:
        return Measure(*kind)
    shown = RoomReading(reading)
    said = f"{reading.room}: {reading.air_words}. {shown.moisture_sentence}"
    url = reverse("instruments:climate")
    return Measure(*kind, reading.read_on, _name(reading.read_by), said, tuple(shown.cautions), url)


def _surveyed(kind: tuple, survey, sentence: str, more: tuple[str, ...]) -> Measure:
    url, who = survey.get_absolute_url(), _name(survey.measured_by)
    return Measure(*kind, survey.measured_on, who, sentence, more, url)


def _add(name: str, instrument: Instrument) -> str:
    return reverse(f"instruments:{name}", args=[instrument.stock_number])


def _name(person) -> str:
    return person.get_full_name() or person.get_username()
