"""A home trial from draft to one of its three endings: keep, exchange, return."""

from datetime import date

from instruments.actions.history import save_tracked
from instruments.actions.numbers import next_number
from instruments.actions.whole import whole
from instruments.models import Instrument
from instruments.problems import Refused, refuse_if_blocked
from shop.actions.credit_terms import credit_terms_for, credit_terms_in_force
from shop.actions.deductions import Agreed, agree_deduction, agreed_on_trial
from shop.actions.ledger import (
    NotEnough,
    credit_of,
    lock_person,
    pay_out_credit,
    refund,
    release_to_credit,
    take_for_delivery,
    take_payment,
    use_credit,
    value_in,
)
from shop.actions.promises import AlreadyClosed, close_promise, open_promise
from shop.actions.sales import record_sale
from shop.actions.terms import terms_in_force
from shop.actions.trial_moves import bring_back_unless_fetched_later, take_out_if_it_leaves_today
from shop.actions.trial_settling import (
    exchange_figures,
    let_fees_count_whole,
    return_figures,
    settle_into_credit,
)
from shop.calc.credit_terms import CreditRule
from shop.credit_problems import exchange_problems
from shop.models import Sale, Trial
from shop.problems import dealing_problems, trial_length_problems
from shop.protected_problems import protected_material_problems
from shop.states import PromiseKind, PromiseOutcome, TrialState
from shop.trial_locked import locked_trial
from shop.trial_problems import comparison_problems

LATE = "; entered late, after its first day"


@whole
def draft_trial(*, instrument: Instrument, credit: CreditRule | None = None, by, on: date, **terms) -> Trial:
    """Write down the terms of a trial. Nothing is promised yet.

    `credit` where other terms of credit are agreed for this one than the shop's. `exchanged_from` is a trial
    that is out with the same person: it ends by exchange when this one starts.
    """
    refuse_if_blocked(trial_length_problems((terms["ends_on"] - terms["starts_on"]).days))
    number = next_number("trial", on=on, prefix="T")
    credit_terms = credit_terms_for(credit, by=by, on=on) if credit else credit_terms_in_force()
    trial = Trial(number=number, instrument=instrument, credit_terms=credit_terms, drafted_by=by, **terms)
    _refuse_to_follow(trial, by)
    late = LATE if trial.starts_on < on else ""
    save_tracked(trial, by=by, why=f"Home trial {number} drafted for {trial.person}{late}")
    return trial


@whole
def revise_trial(*, trial: Trial, credit: CreditRule | None = None, by, on: date, **terms) -> Trial:
    """Change the terms of a trial that has not started."""
    trial = locked_trial(trial)
    if trial.state != TrialState.DRAFT:
        raise AlreadyClosed("This trial has started; its terms stand as agreed.")
    refuse_if_blocked(trial_length_problems((terms["ends_on"] - terms["starts_on"]).days))
    if credit:
        trial.credit_terms = credit_terms_for(credit, by=by, on=on, before=trial.credit_terms)
    price_before = trial.price_minor
    for field, value in terms.items():
        setattr(trial, field, value)
    if trial.price_minor != price_before:
        _refuse_to_follow(trial, by)
    save_tracked(trial, by=by, why=f"Terms of {trial.number} revised{LATE if trial.starts_on < on else ''}")
    return trial


@whole
def start_trial(*, trial: Trial, method: str, reference: str = "", by, on: date) -> Trial:
    """Promise the instrument, take what is paid now, and send it out. All of it or nothing."""
    lock_person(trial.person)
    trial = locked_trial(trial)
    if trial.state != TrialState.DRAFT:
        raise AlreadyClosed(f"{trial.number} has started already.")
    if trial.ends_on <= on:
        raise Refused("The last day of this trial has passed. Change its terms before it starts.")
    refuse_if_blocked(trial_length_problems((trial.ends_on - on).days))
    if trial.exchanged_from:
        _exchange_into(trial, by, on)
    trial.promise = open_promise(
        instrument=trial.instrument,
        person=trial.person,
        kind=PromiseKind.TRIAL,
        price_minor=trial.price_minor,
        until=trial.ends_on,
        note=trial.number,
        by=by,
        on=on,
    )
    trial.state, trial.terms = TrialState.OUT, terms_in_force().version
    save_tracked(trial, by=by, why=f"Home trial {trial.number} started with {trial.person}")
    across = _bring_across(trial, by, on)
    if trial.pay_now_minor > across:
        take_payment(
            promise=trial.promise,
            amount_minor=trial.pay_now_minor - across,
            method=method,
            reference=reference,
            by=by,
            on=on,
        )
    if trial.delivery_minor:
        take_for_delivery(
            promise=trial.promise,
            amount_minor=trial.delivery_minor,
            method=method,
            reference=reference,
            by=by,
            on=on,
        )
    take_out_if_it_leaves_today(trial=trial, by=by, on=on)
    return trial


@whole
def keep_trial(*, trial: Trial, note: str = "", by, on: date) -> Sale:
    """The customer keeps it: what was paid, with fees that count, goes whole to the sale of it."""
    lock_person(trial.person)
    if agreed_on_trial(locked_trial(trial)):
        raise Refused("Deductions are agreed on this trial. Who keeps it owes none: take them back first.")
    trial = _end(trial, PromiseOutcome.KEPT, note, by, on)
    let_fees_count_whole(trial, by=by, on=on)
    paid = value_in(trial.promise)
    release_to_credit(promise=trial.promise, amount_minor=paid, note=f"{trial.number} kept", by=by, on=on)
    sale = record_sale(
        instrument=trial.instrument,
        person=trial.person,
        price_minor=trial.price_minor,
        from_trial=trial,
        by=by,
        on=on,
    )
    use_credit(promise=sale.promise, amount_minor=paid, note=f"Paid on {trial.number}", by=by, on=on)
    return sale


@whole
def exchange_trial(
    *,
    trial: Trial,
    other: Instrument,
    other_price_minor: int,
    left_over: str = "credit",
    method: str = "",
    exception: str = "",
    without_comparing: str = "",
    note: str = "",
    by,
    on: date,
) -> Sale:
    """What counts comes off another instrument. What is short is still to pay; what is over stays in credit,
    or with `left_over` "refund" goes back by `method`, as far as it came from this trial.
    """
    lock_person(trial.person)
    trial = locked_trial(trial)
    may_except = by.has_perm("shop.run_shop")
    _refuse_exchange(trial, other, other_price_minor, exception, may_except, act="exchanging")
    refuse_if_blocked(comparison_problems(trial, without=without_comparing))
    said = {"exception": exception.strip(), "uncompared": without_comparing.strip()}
    trial = _end(trial, PromiseOutcome.EXCHANGED, note, by, on, **said)
    before = credit_of(trial.person)
    figures = exchange_figures(trial, other_price_minor, on=on)
    settle_into_credit(trial, note=f"{trial.number} exchanged", by=by, on=on)
    sale = record_sale(
        instrument=other,
        person=trial.person,
        price_minor=other_price_minor,
        from_trial=trial,
        by=by,
        on=on,
    )
    use_credit(
        promise=sale.promise, amount_minor=figures.used_minor, note=f"From {trial.number}", by=by, on=on
    )
    over = figures.over_from_trial_minor(before)
    if left_over == "refund" and over:
        pay_out_credit(
            person=trial.person, amount_minor=over, method=method, reference=trial.number, by=by, on=on
        )
    bring_back_unless_fetched_later(trial=trial, by=by, on=on)
    return sale


@whole
def return_trial(
    *,
    trial: Trial,
    deduction: Agreed | None = None,
    give_back: str,
    method: str = "",
    without_comparing: str = "",
    note: str = "",
    by,
    on: date,
) -> Trial:
    """The instrument comes back. What was paid, less deductions agreed, is refunded or left in credit.

    `deduction` is a line agreed at the door, besides those written down before; `without_comparing` says why
    it is settled while the report as it came back is open.
    """
    lock_person(trial.person)
    refuse_if_blocked(comparison_problems(trial, without=without_comparing))
    if deduction:
        agree_deduction(trial=trial, line=deduction, by=by, on=on)
    trial = _end(trial, PromiseOutcome.RETURNED, note, by, on, uncompared=without_comparing.strip())
    rest = return_figures(trial).rest_minor
    if give_back == "refund":
        refund(promise=trial.promise, amount_minor=rest, method=method, by=by, on=on)
    else:
        last_day = trial.credit_terms.rule.runs_out_on(on)
        note = f"{trial.number} returned"
        release_to_credit(
            promise=trial.promise, amount_minor=rest, note=note, runs_out_on=last_day, by=by, on=on
        )
    bring_back_unless_fetched_later(trial=trial, by=by, on=on)
    return trial


def _refuse_exchange(trial, other: Instrument, price_minor: int, exception: str, may_except: bool, *, act):
    if other.pk == trial.instrument_id:
        raise NotEnough("Choose another instrument to exchange it for.", about=("other",))
    refuse_if_blocked(
        [
            *dealing_problems(other, act=act),
            *protected_material_problems(trial.instrument, act="exchanging"),
            *exchange_problems(trial, price_minor, exception=exception, may_except=may_except),
        ]
    )


def _refuse_to_follow(trial: Trial, by) -> None:
    """A draft that follows another trial keeps to the terms of that one; the owner may make an exception."""
    if trial.exchanged_from:
        problems = exchange_problems(
            trial.exchanged_from,
            trial.price_minor,
            exception=trial.exception_note,
            may_except=by.has_perm("shop.run_shop"),
        )
        refuse_if_blocked(problems)


def _exchange_into(following: Trial, by, on: date) -> None:
    """The trial that this one follows ends as it starts; what counts is brought across."""
    trial = locked_trial(following.exchanged_from)
    if trial.person.standing_id != following.person.standing_id:
        raise Refused(f"{trial.number} is with somebody else.")
    exception = following.exception_note  # the owner's, from the draft
    _refuse_exchange(trial, following.instrument, following.price_minor, exception, True, act="lending")
    note = f"Exchanged for home trial {following.number}"
    trial = _end(trial, PromiseOutcome.EXCHANGED, note, by, on)
    settle_into_credit(trial, note=f"{trial.number} exchanged", by=by, on=on)
    bring_back_unless_fetched_later(trial=trial, by=by, on=on)


def _bring_across(trial: Trial, by, on: date) -> int:
    """What is paid at the start out of credit, where it follows another trial; the rest is paid as money."""
    if not trial.exchanged_from:
        return 0
    across = min(credit_of(trial.person), trial.pay_now_minor)
    note = f"From {trial.exchanged_from.number}"
    use_credit(promise=trial.promise, amount_minor=across, note=note, by=by, on=on)
    return across


def _end(
    trial: Trial, outcome: str, note: str, by, on: date, *, exception: str = "", uncompared: str = ""
) -> Trial:
    trial = locked_trial(trial)
    if trial.state != TrialState.OUT:
        raise AlreadyClosed(f"{trial.number} is not out: {trial.get_state_display().lower()}.")
    close_promise(promise=trial.promise, outcome=outcome, by=by)
    trial.state, trial.outcome, trial.ended_on, trial.ended_note = TrialState.ENDED, outcome, on, note
    trial.exception_note, trial.uncompared_note = exception or trial.exception_note, uncompared
    save_tracked(
        trial, by=by, why=f"Home trial {trial.number} ended: {PromiseOutcome(outcome).label.lower()}"
    )
    return trial
