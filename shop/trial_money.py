"""What a home trial's page says of its money: what counts today, by which share, and every deduction."""

from datetime import date

from shop.actions.deductions import agreed_on_trial
from shop.actions.trial_settling import counting_of
from shop.credit_words import expiry_words, fees_words, reach_words, scale_words
from shop.endings import share_words
from shop.models import Trial
from shop.states import CreditKind, PaymentPurpose, TrialState


def money_of(trial: Trial, *, on: date) -> dict:
    """For the trial's page and for the pages of its endings."""
    rule = trial.credit_terms.rule
    is_out = trial.state == TrialState.OUT
    counting = counting_of(trial, on=on) if is_out else None
    return {
        "counting": counting,
        "counts_minor": counting.credit_minor if counting else None,
        "counting_words": share_words(counting) if counting else "",
        "deductions": agreed_on_trial(trial) if is_out else _kept(trial),
        "fees_that_count": {PaymentPurpose(fee) for fee in rule.fees_that_count},
        "credit_lines": [
            ("How much counts", scale_words(rule, trial.starts_on)),
            ("Toward", reach_words(rule)),
            ("Beside the price", fees_words(rule)),
            ("What is left over", expiry_words(rule)),
        ],
    }


def carried_over(trial: Trial) -> list[tuple[str, int]]:
    """What came into it out of credit: from the trial that it follows, or from elsewhere."""
    if trial.promise is None:
        return []
    before, rows = trial.exchanged_from, trial.promise.credit_entries.filter(kind=CreditKind.TO_PROMISE)
    words = "Out of their credit"
    if before:
        words = f"From trial {before.number}, what was paid toward {before.instrument}"
    return [(f"{words}: {row.entered_on:%-d %B %Y}", -row.amount_minor) for row in rows]


def _kept(trial: Trial) -> list:
    return list(trial.promise.deductions.standing()) if trial.promise else []
