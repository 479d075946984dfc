"""A home trial from draft to one of its three endings: keep, exchange, return."""

from datetime import date
from decimal import Decimal

from django.db import transaction

from instruments.actions.history import save_tracked
from instruments.actions.moves import move_instrument
from instruments.actions.numbers import next_number
from instruments.models import Instrument
from instruments.problems import Refused, refuse_if_blocked
from instruments.states import Place
from shop.actions.ledger import (
    NotEnough,
    credit_of,
    lock_person,
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
from shop.calc.trial_figures import Exchange, Return, exchange
from shop.models import Sale, Trial
from shop.problems import dealing_problems, trial_length_problems
from shop.protected_problems import protected_material_problems
from shop.states import PromiseKind, PromiseOutcome, TrialState
from workorders.calc.money import share_minor


@transaction.atomic
def draft_trial(*, instrument: Instrument, by, on: date, **terms) -> Trial:
    """Write down the terms of a trial. Nothing is promised yet."""
    refuse_if_blocked(trial_length_problems((terms["ends_on"] - terms["starts_on"]).days))
    number = next_number("trial", on=on, prefix="T")
    trial = Trial(number=number, instrument=instrument, drafted_by=by, **terms)
    save_tracked(trial, by=by, why=f"Home trial {number} drafted for {trial.person}")
    return trial


@transaction.atomic
def revise_trial(*, trial: Trial, by, **terms) -> Trial:
    """Change the terms of a trial that has not started."""
    trial = _locked(trial)
    if trial.state != TrialState.DRAFT:
        raise AlreadyClosed("This trial has started; its terms stand as agreed.")
    refuse_if_blocked(trial_length_problems((terms["ends_on"] - terms["starts_on"]).days))
    for field, value in terms.items():
        setattr(trial, field, value)
    save_tracked(trial, by=by, why=f"Terms of {trial.number} revised")
    return trial


@transaction.atomic
def start_trial(*, trial: Trial, method: str, reference: str = "", by, on: date) -> Trial:
    """Promise the instrument, take what is paid now, and send it out. All of it or nothing."""
    lock_person(trial.person)
    trial = _locked(trial)
    if trial.state != TrialState.DRAFT:
        raise AlreadyClosed(f"{trial.number} has started already.")
    if trial.ends_on <= on:
        raise Refused("The last day of this trial has passed. Change its terms before it starts.")
    refuse_if_blocked(trial_length_problems((trial.ends_on - on).days))
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
    if trial.pay_now_minor:
        take_payment(
            promise=trial.promise,
            amount_minor=trial.pay_now_minor,
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
    move_instrument(instrument=trial.instrument, place=Place.CUSTOMER, note=trial.number, by=by, on=on)
    return trial


@transaction.atomic
def keep_trial(*, trial: Trial, note: str = "", by, on: date) -> Sale:
    """The customer keeps it: what was paid goes whole to the sale of the same instrument."""
    lock_person(trial.person)
    trial = _end(trial, PromiseOutcome.KEPT, note, by, on)
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


@transaction.atomic
def exchange_trial(
    *,
    trial: Trial,
    other: Instrument,
    other_price_minor: int,
    note: str = "",
    by,
    on: date,
) -> Sale:
    """What was paid comes off another instrument; the rest stays in credit or is still to pay."""
    lock_person(trial.person)
    if other.pk == trial.instrument_id:
        raise NotEnough("Choose another instrument to exchange it for.")
    refuse_if_blocked(
        [
            *dealing_problems(other, act="exchanging"),
            *protected_material_problems(trial.instrument, act="exchanging"),
        ]
    )
    trial = _end(trial, PromiseOutcome.EXCHANGED, note, by, on)
    figures = exchange_figures(trial, other_price_minor)
    release_to_credit(
        promise=trial.promise,
        amount_minor=credit_for(trial),
        note=f"{trial.number} exchanged",
        by=by,
        on=on,
    )
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
    move_instrument(instrument=trial.instrument, place=Place.WORKSHOP, note="back from trial", by=by, on=on)
    return sale


@transaction.atomic
def return_trial(
    *,
    trial: Trial,
    deduction_minor: int = 0,
    give_back: str,
    method: str = "",
    note: str = "",
    by,
    on: date,
) -> Trial:
    """The instrument comes back. What was paid, less an agreed deduction, is refunded or left in credit."""
    if deduction_minor and not note.strip():
        raise Refused("Say what the deduction is for.")
    lock_person(trial.person)
    trial = _end(trial, PromiseOutcome.RETURNED, note, by, on)
    rest = return_figures(trial, deduction_minor).rest_minor
    if give_back == "refund":
        refund(promise=trial.promise, amount_minor=rest, method=method, by=by, on=on)
    else:
        release_to_credit(
            promise=trial.promise, amount_minor=rest, note=f"{trial.number} returned", by=by, on=on
        )
    move_instrument(instrument=trial.instrument, place=Place.WORKSHOP, note="back from trial", by=by, on=on)
    return trial


def credit_for(trial: Trial) -> int:
    """What counts toward another instrument by the agreed share; half a minor unit rounds up."""
    return share_minor(value_in(trial.promise), Decimal(trial.credit_percent) / 100)


def exchange_figures(trial: Trial, other_price_minor: int) -> Exchange:
    """What an exchange comes to: what counts, and any credit there is already, against the other price."""
    return exchange(credit_of(trial.person) + credit_for(trial), other_price_minor)


def return_figures(trial: Trial, deduction_minor: int) -> Return:
    """What a return comes to. Raises NotEnough when more would be deducted than was paid."""
    paid = value_in(trial.promise)
    if deduction_minor > paid:
        raise NotEnough("The deduction is more than was paid.")
    return Return(paid, deduction_minor)


def _locked(trial: Trial) -> Trial:
    return (
        Trial.objects.select_for_update(of=("self",)).select_related("instrument", "person").get(pk=trial.pk)
    )


def _end(trial: Trial, outcome: str, note: str, by, on: date) -> Trial:
    trial = _locked(trial)
    if trial.state != TrialState.OUT:
        raise AlreadyClosed(f"{trial.number} is not out: {trial.get_state_display().lower()}.")
    close_promise(promise=trial.promise, outcome=outcome, by=by)
    trial.state, trial.outcome, trial.ended_on, trial.ended_note = TrialState.ENDED, outcome, on, note
    save_tracked(
        trial, by=by, why=f"Home trial {trial.number} ended: {PromiseOutcome(outcome).label.lower()}"
    )
    return trial
