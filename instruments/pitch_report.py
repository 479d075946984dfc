"""A kept survey of pitch, as its page says it: deviations, sections, a raise plan, drift."""

from dataclasses import dataclass
from functools import cached_property

from django.utils import timezone

from instruments.calc import pitch_surveys
from instruments.calc.climate import pitch_drift_cents
from instruments.calc.compass import count_word, frequency_hz, note_label, top_key
from instruments.calc.pitch import deviation_cents
from instruments.calc.pitch_raise import OLD_YEARS, RaisePlan, raise_plan
from instruments.models import Instrument, PitchSurvey


@dataclass(frozen=True)
class PitchRow:
    key: int
    hertz: float
    wanted_hz: float
    cents: float
    moved_cents: float | None

    @property
    def name(self) -> str:
        return note_label(self.key)

    @property
    def words(self) -> str:
        return pitch_surveys.deviation_words(self.cents)


class PitchReport:
    """Readings of keys that a later correction of the compass took away are left out."""

    def __init__(self, survey: PitchSurvey, *, earlier: PitchSurvey | None = None):
        self.survey, self.earlier = survey, earlier
        self.instrument = survey.instrument

    @cached_property
    def hertz(self) -> dict[int, float]:
        first = self.instrument.first_key
        own = range(first, top_key(first, self.instrument.key_count) + 1)
        return {key: hertz for key, hertz in self.survey.hertz().items() if key in own}

    @cached_property
    def drift(self) -> dict[int, float]:
        """Cents moved since the earlier survey."""
        return pitch_surveys.drift_cents(self.earlier.hertz(), self.hertz) if self.earlier else {}

    @cached_property
    def rows(self) -> list[PitchRow]:
        a4 = float(self.survey.a4_hz)
        return [
            PitchRow(
                key,
                hertz,
                frequency_hz(key, a4),
                deviation_cents(key, hertz, a4),
                self.drift.get(key),
            )
            for key, hertz in self.hertz.items()
        ]

    @cached_property
    def sections(self) -> list[pitch_surveys.SectionMean]:
        return pitch_surveys.section_means({row.key: row.cents for row in self.rows})

    @property
    def drift_sections(self) -> list[pitch_surveys.SectionMean]:
        return pitch_surveys.section_means(self.drift)

    @property
    def planned_by(self) -> pitch_surveys.SectionMean | None:
        return pitch_surveys.planned_by(self.sections)

    @cached_property
    def plan(self) -> RaisePlan | None:
        by = self.planned_by
        return raise_plan(by.cents, is_old=is_old(self.instrument)) if by else None

    @property
    def sentence(self) -> str:
        said = [f"{mean.section} {pitch_surveys.deviation_words(mean.cents)}" for mean in self.sections]
        return f"{', '.join(said).capitalize()}, on average." if said else "No note was read."

    @property
    def drift_sentence(self) -> str:
        if not self.earlier:
            return ""
        if not self.drift:
            return "No note was read both times."
        mean = sum(self.drift.values()) / len(self.drift)
        way = "fell" if mean < 0 else "rose"
        return f"Since then it {way} by {abs(mean):.0f} cents on average, of {_notes(len(self.drift))}."

    @property
    def air_sentence(self) -> str:
        """What the rule of thumb would expect of the change of air; "" where one of the two is not known."""
        if not self.earlier or None in (self.earlier.humidity_percent, self.survey.humidity_percent):
            return ""
        points = float(self.survey.humidity_percent - self.earlier.humidity_percent)
        expected = pitch_drift_cents(points)
        return (
            f"The air went from {self.earlier.humidity_percent.normalize():f} to"
            f" {self.survey.humidity_percent.normalize():f} % RH; one technician’s rule of thumb expects"
            f" {expected:+.0f} cents at A4 of that.".replace("-", "−")
        )


def _notes(count: int) -> str:
    return f"{count_word(count)} note{'s' * (count != 1)}"


def is_old(instrument: Instrument) -> bool:
    """Made `OLD_YEARS` ago or earlier; what nobody has dated counts as old."""
    latest = instrument.made_latest
    return latest is None or latest.year <= timezone.localdate().year - OLD_YEARS
