"""Money in, money back, and value moved between promises. Nothing here stores a balance.

Everything computed from several rows locks the person's row first, before it reads: on PostgreSQL that
serialises two spends of one credit; on SQLite the transaction already holds the one write lock.
"""

from datetime import date

from django.db import transaction
from django.db.models import Sum

from instruments.problems import Refused
from shop.actions.stock_book import enter_fee
from shop.models import CreditEntry, Payment, Person, Promise
from shop.states import CreditKind, PaymentMethod, PaymentPurpose


class NotEnough(Refused):
    """More was asked for than is there; the sentence says how much there is."""


def lock_person(person: Person) -> Person:
    return Person.objects.select_for_update().get(pk=person.pk)


def value_in(promise: Promise) -> int:
    """What has been paid toward a promise and is still in it."""
    paid = promise.payments.toward_price().aggregate(sum=Sum("amount_minor"))["sum"] or 0
    left = promise.credit_entries.aggregate(sum=Sum("amount_minor"))["sum"] or 0
    return paid - left


def credit_of(person: Person) -> int:
    return person.credit_entries.aggregate(sum=Sum("amount_minor"))["sum"] or 0


@transaction.atomic
def take_payment(
    *, promise: Promise, amount_minor: int, method: str, reference: str = "", by, on: date
) -> Payment:
    person = lock_person(promise.person)
    if amount_minor <= 0:
        raise NotEnough("A payment must be more than nothing.")
    _refuse_if_ended(promise)
    if promise.price_minor is not None and value_in(promise) + amount_minor > promise.price_minor:
        raise NotEnough("That is more than is still to pay.")
    return Payment.objects.create(
        person=person,
        promise=promise,
        amount_minor=amount_minor,
        method=method,
        reference=reference,
        paid_on=on,
        recorded_by=by,
    )


@transaction.atomic
def take_for_delivery(
    *, promise: Promise, amount_minor: int, method: str, reference: str = "", by, on: date
) -> Payment:
    """Money for bringing it: apart from the price, and nothing of it counts toward another instrument."""
    person = lock_person(promise.person)
    if amount_minor <= 0:
        raise NotEnough("A payment must be more than nothing.")
    _refuse_if_ended(promise)
    payment = Payment.objects.create(
        person=person,
        promise=promise,
        amount_minor=amount_minor,
        purpose=PaymentPurpose.DELIVERY,
        method=method,
        reference=reference,
        paid_on=on,
        recorded_by=by,
    )
    enter_fee(
        instrument=promise.instrument,
        person=person,
        amount_minor=amount_minor,
        description=f"Delivery of {promise.instrument}",
        payment=payment,
        by=by,
        on=on,
    )
    return payment


@transaction.atomic
def refund(
    *, promise: Promise, amount_minor: int, method: str, reference: str = "", by, on: date
) -> Payment | None:
    """Give money back out of what a promise still holds. Nothing to give back makes no row."""
    person = lock_person(promise.person)
    if amount_minor > value_in(promise):
        raise NotEnough("No more can be given back than was paid.")
    if amount_minor == 0:
        return None
    return _give_back(person, promise, amount_minor, method, reference, by, on)


@transaction.atomic
def give_back_allowance(*, promise: Promise, amount_minor: int, by, on: date) -> Payment | None:
    """What was allowed in part exchange leaves the promise with the instrument that is handed back."""
    person = lock_person(promise.person)
    if amount_minor > value_in(promise):
        raise NotEnough("Less than the allowance is left of what was paid. Agree on it in money.")
    if amount_minor == 0:
        return None
    return _give_back(person, promise, amount_minor, PaymentMethod.PART_EXCHANGE, "", by, on)


@transaction.atomic
def pay_out_credit(
    *, person: Person, amount_minor: int, method: str, reference: str = "", by, on: date
) -> Payment:
    """Give credit back as money. It goes out by the promise that its newest part came from."""
    person = lock_person(person)
    if amount_minor <= 0:
        raise NotEnough("What is paid out must be more than nothing.")
    if amount_minor > credit_of(person):
        raise NotEnough(f"{person} has less in credit than that.")
    source = person.credit_entries.filter(kind=CreditKind.FROM_PROMISE).last().promise
    _enter(person, source, CreditKind.PAID_OUT, -amount_minor, "", by, on)
    return _give_back(person, source, amount_minor, method, reference, by, on)


@transaction.atomic
def release_to_credit(*, promise: Promise, amount_minor: int, note: str, by, on: date) -> None:
    """Value leaves a promise and becomes the person's credit."""
    person = lock_person(promise.person)
    if amount_minor > value_in(promise):
        raise NotEnough("No more can become credit than was paid.")
    _enter(person, promise, CreditKind.FROM_PROMISE, amount_minor, note, by, on)


@transaction.atomic
def use_credit(*, promise: Promise, amount_minor: int, note: str, by, on: date) -> None:
    """Credit goes into a promise. Never more than the person has, never more than is still to pay."""
    person = lock_person(promise.person)
    _refuse_if_ended(promise)
    if amount_minor > credit_of(person):
        raise NotEnough(f"{person} has less in credit than that.")
    if promise.price_minor is not None and value_in(promise) + amount_minor > promise.price_minor:
        raise NotEnough("That is more than is still to pay.")
    _enter(person, promise, CreditKind.TO_PROMISE, -amount_minor, note, by, on)


def _refuse_if_ended(promise: Promise) -> None:
    """Asked with the person's row locked, as every ending holds it: what came late has nowhere to go."""
    if not Promise.objects.open().filter(pk=promise.pk).exists():
        raise Refused(f"This {promise.get_kind_display().lower()} has ended; nothing more is paid toward it.")


def _give_back(person, promise, amount_minor, method, reference, by, on) -> Payment:
    return Payment.objects.create(
        person=person,
        promise=promise,
        amount_minor=-amount_minor,
        method=method,
        reference=reference,
        refunds=promise.payments.toward_price().filter(amount_minor__gt=0).first(),
        paid_on=on,
        recorded_by=by,
    )


def still_to_pay(promise: Promise) -> int:
    return (promise.price_minor or 0) - value_in(promise)


def _enter(person, promise, kind, amount_minor, note, by, on) -> None:
    if amount_minor:
        CreditEntry.objects.create(
            person=person,
            promise=promise,
            kind=kind,
            amount_minor=amount_minor,
            note=note,
            entered_on=on,
            recorded_by=by,
        )
