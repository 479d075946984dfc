"""Deductions agreed with a customer while their trial runs: line by line, each with what it is for."""

from dataclasses import dataclass
from datetime import date

from django.db import transaction

from instruments.problems import Refused
from shop.actions.ledger import NotEnough, kept_in, lock_person, value_in
from shop.deduction_states import AGREED_KINDS
from shop.models import Deduction, Promise, Trial
from workorders.currency import in_words


@dataclass(frozen=True)
class Agreed:
    """One line as it was agreed. A line that nobody agreed to is refused."""

    kind: str
    words: str
    amount_minor: int
    agreed_how: str
    agreed_on: date


@transaction.atomic
def agree_deduction(*, trial: Trial, line: Agreed, by, on: date) -> Deduction:
    """Write a line down. All lines together never come to more than was paid."""
    lock_person(trial.person)
    promise = _open_promise_of(trial)
    _refuse_unless_agreed(line, on)
    refuse_above_paid(promise, line.amount_minor)
    return Deduction.objects.create(
        promise=promise,
        kind=line.kind,
        words=line.words.strip(),
        amount_minor=line.amount_minor,
        agreed_how=line.agreed_how,
        agreed_on=line.agreed_on,
        entered_on=on,
        recorded_by=by,
    )


@transaction.atomic
def take_back_deduction(*, deduction: Deduction, why: str, by, on: date) -> Deduction:
    """Strike a line while the trial runs; both rows stay in the record."""
    lock_person(deduction.promise.person)
    _open_promise_of(deduction.promise.trial)
    if not why.strip():
        raise Refused("Say why it is taken back.", about=("why",))
    if not Deduction.objects.standing().filter(pk=deduction.pk).exists():
        raise Refused("This line was taken back before.")
    return Deduction.objects.create(
        promise=deduction.promise,
        kind=deduction.kind,
        words=why.strip(),
        amount_minor=-deduction.amount_minor,
        agreed_how=deduction.agreed_how,
        agreed_on=deduction.agreed_on,
        takes_back=deduction,
        entered_on=on,
        recorded_by=by,
    )


def agreed_on_trial(trial: Trial) -> list[Deduction]:
    """The lines that stand, in the order they were agreed."""
    return list(trial.promise.deductions.standing().filter(kind__in=AGREED_KINDS)) if trial.promise else []


def refuse_above_paid(promise: Promise, amount_minor: int) -> None:
    """With the lines that stand, never more than was paid."""
    kept = kept_in(promise)
    most = value_in(promise) - kept
    if amount_minor > most:
        agreed = f", less {in_words(kept)} agreed already" if kept else ""
        words = f"The deduction is more than was paid{agreed}: {in_words(most)} can be deducted at most."
        raise NotEnough(words, about=("amount_minor", "deduction_minor"))


def _open_promise_of(trial: Trial) -> Promise:
    promise = Promise.objects.open().filter(pk=trial.promise_id).first()
    if promise is None:
        raise Refused(f"{trial.number} is not out: deductions are agreed while it is.")
    return promise


def _refuse_unless_agreed(line: Agreed, on: date) -> None:
    if line.kind not in AGREED_KINDS:
        raise Refused("Say whether it is damage, something missing or something else.")
    if line.amount_minor <= 0:
        raise Refused("A deduction is more than nothing.", about=("amount_minor", "deduction_minor"))
    if not line.words.strip():
        raise Refused("Say what the deduction is for.", about=("words", "note"))
    if not line.agreed_how or not line.agreed_on:
        words = "Say how and when they agreed to it. What they have not agreed to is not deducted."
        raise Refused(words, about=("agreed_how",))
    if line.agreed_on > on:
        raise Refused("They cannot have agreed to it on a day still to come.", about=("agreed_on",))
