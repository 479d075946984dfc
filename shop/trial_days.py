"""The days of a home trial that the law or its terms attach something to."""

from dataclasses import dataclass
from datetime import date

from shop.calc.deadlines import cancel_until, property_passes_on
from shop.models import Trial
from shop.states import TrialState


@dataclass(frozen=True)
class TrialDays:
    """`may_cancel_until` is None for what was agreed in the shop. Check the law in force."""

    may_cancel_until: date | None = None
    bought_by_silence_on: date | None = None

    @property
    def silence_words(self) -> str:
        if self.bought_by_silence_on:
            return f"Kept without a word past {self.bought_by_silence_on:%-d %B %Y}, it is bought."
        return "Kept without a word past its last day, it is not bought: it stays ours."


def days_of(trial: Trial) -> TrialDays:
    """For a trial that has started: the agreement with its right to cancel was handed over on that day."""
    if trial.state != TrialState.OUT:
        return TrialDays()
    reached_them = trial.promise.opened_on
    is_buying = bool(trial.terms and trial.terms.keeping_is_buying)
    return TrialDays(
        may_cancel_until=cancel_until(reached_them, contract=trial.agreed_where, informed_on=reached_them),
        bought_by_silence_on=property_passes_on(trial.ends_on, keeping_is_not_acceptance=not is_buying),
    )
