"""When an instrument was last tuned, as far as the record knows: by surveys of pitch, and by other apps."""

from collections.abc import Callable
from datetime import date

from instruments.models import Instrument
from instruments.states import PitchStage

TunedOn = Callable[[Instrument, date], date | None]
_KNOWN_BY: list[TunedOn] = []


def know_tunings_by(tuned_on: TunedOn) -> None:
    """Another app's own knowledge: the last day of tuning up to a day, or None."""
    _KNOWN_BY.append(tuned_on)


def last_tuned(instrument: Instrument, *, by_day: date) -> date | None:
    days = [tuned_on(instrument, by_day) for tuned_on in (_by_survey, *_KNOWN_BY)]
    return max((day for day in days if day), default=None)


def _by_survey(instrument: Instrument, by_day: date) -> date | None:
    tuned = instrument.pitch_surveys.filter(stage=PitchStage.AFTER_TUNING, measured_on__lte=by_day)
    newest = tuned.first()
    return newest.measured_on if newest else None
