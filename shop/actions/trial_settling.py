"""What a home trial comes to when it ends, by its own terms of credit, and the rows that say so.

Each function that writes runs inside the act that ends the trial, with the person's row locked.
"""

from datetime import date

from shop.actions.deductions import refuse_above_paid
from shop.actions.ledger import (
    credit_of,
    fees_in,
    kept_in,
    let_fees_count,
    release_to_credit,
    still_to_pay,
    value_in,
)
from shop.calc.credit_terms import Counting
from shop.calc.trial_figures import Exchange, Return, exchange
from shop.deduction_states import DeductionKind
from shop.models import Deduction, Trial


def counting_of(trial: Trial, *, on: date) -> Counting:
    """What of this trial counts toward another instrument on a day."""
    rule = trial.credit_terms.rule
    return Counting(
        paid_minor=value_in(trial.promise),
        fees_minor=fees_in(trial.promise, rule.fees_that_count),
        percent=rule.percent_on(trial.starts_on, on),
        deducted_minor=kept_in(trial.promise),
    )


def credit_for(trial: Trial, *, on: date) -> int:
    """What comes off another instrument on a day, deductions taken off."""
    return counting_of(trial, on=on).credit_minor


def exchange_figures(trial: Trial, other_price_minor: int, *, on: date) -> Exchange:
    """What an exchange comes to: what counts, and any credit there is already, against the other price."""
    return exchange(credit_of(trial.person) + credit_for(trial, on=on), other_price_minor)


def return_figures(trial: Trial, more_minor: int = 0) -> Return:
    """What a return comes to, with so much deducted besides what was agreed before.

    Raises NotEnough when more would be deducted than was paid.
    """
    refuse_above_paid(trial.promise, more_minor)
    return Return(value_in(trial.promise), kept_in(trial.promise) + more_minor)


def settle_into_credit(trial: Trial, *, note: str, by, on: date) -> int:
    """What counts becomes credit; what does not stays in the ended trial as a line of its own."""
    counting, rule = counting_of(trial, on=on), trial.credit_terms.rule
    let_fees_count(
        promise=trial.promise,
        amount_minor=counting.from_fees_minor,
        purposes=rule.fees_that_count,
        by=by,
        on=on,
    )
    if counting.not_counting_minor:
        Deduction.objects.create(
            promise=trial.promise,
            kind=DeductionKind.NOT_COUNTING,
            words=f"{counting.percent} % counts by the terms of {trial.number}",
            amount_minor=counting.not_counting_minor,
            entered_on=on,
            recorded_by=by,
        )
    release_to_credit(
        promise=trial.promise,
        amount_minor=counting.credit_minor,
        note=note,
        runs_out_on=rule.runs_out_on(on),
        by=by,
        on=on,
    )
    return counting.credit_minor


def let_fees_count_whole(trial: Trial, *, by, on: date) -> None:
    """Kept, so far as there is something to pay, fees that count come off the price itself."""
    purposes = trial.credit_terms.rule.fees_that_count
    amount = min(fees_in(trial.promise, purposes), still_to_pay(trial.promise))
    let_fees_count(promise=trial.promise, amount_minor=amount, purposes=purposes, by=by, on=on)
