"""What a promise holds now, and whose it is: asked with few questions, which are put into words once.

An act that moves money asks them while everybody else who saves waits for it.
"""

from dataclasses import dataclass

from django.db import connection
from django.db.models import OuterRef, Q, QuerySet, Subquery, Sum, Value
from django.db.models.functions import Coalesce

from instruments.models.worded import ASKED, Worded, beforehand
from shop.models import CreditEntry, Deduction, Payment, Person, Promise
from shop.states import CreditKind, PaymentPurpose


@dataclass(frozen=True)
class Held:
    """What was paid toward a promise and is still in it; `is_open` as the database has it at this moment."""

    is_open: bool
    value_minor: int


def held_in(promise: Promise) -> Held:
    ((_, closed_at, paid, left),) = _sums(connection.vendor).among("pk", [promise.pk]).rows()
    return Held(is_open=closed_at is None, value_minor=int(paid or 0) - int(left or 0))


def held_row_of(promise: Promise) -> tuple[int | None, bool]:
    """Its price and whether it is noted as settled, held until the transaction ends."""
    ((price_minor, is_settled),) = _row(connection.vendor).asking(promise.pk).found()
    return price_minor, is_settled


def last_credit_entry_of(promise: Promise) -> int | None:
    """Its key."""
    ((_, last),) = _last_entry(connection.vendor).among("pk", [promise.pk]).rows()
    return last


def kept_of(promise: Promise) -> int:
    """What was deducted from it, and credit of it that ran out, which is entered as less than nothing."""
    ((_, deducted, expired),) = _kept(connection.vendor).among("pk", [promise.pk]).rows()
    return int(deducted or 0) - int(expired or 0)


def credit_on_cards_of(standing: int) -> int:
    """Of the card that has this key and stands for a person, and of all that are joined with it."""
    ((credit,),) = _credit(connection.vendor).asking(standing).rows()
    return int(credit or 0)


def locked_card_of(person: Person) -> Person:
    """The card that stands for this person, held until the transaction ends; there has to be one."""
    (card,) = _card(connection.vendor).asking(person.pk).found()
    return card


def with_value(promises: QuerySet[Promise]) -> QuerySet[Promise]:
    """Each with `value_minor`, what was paid toward it and is still in it."""
    paid, left = _paid_and_left()
    return promises.annotate(value_minor=Coalesce(paid, 0) - Coalesce(left, 0))


@beforehand
def _sums(vendor: str) -> Worded:
    return Worded.of(Promise.objects.order_by().values_list("pk", "closed_at", *_paid_and_left()))


def _paid_and_left() -> tuple[Subquery, Subquery]:
    paid = Payment.objects.filter(promise=OuterRef("pk"), purpose=PaymentPurpose.PRICE)
    return _sum_of(paid), _sum_of(CreditEntry.objects.filter(promise=OuterRef("pk")))


def _sum_of(rows: QuerySet) -> Subquery:
    return Subquery(rows.order_by().values("promise").values_list(Sum("amount_minor")))


@beforehand
def _kept(vendor: str) -> Worded:
    expired = CreditEntry.objects.filter(promise=OuterRef("pk"), kind=CreditKind.EXPIRED)
    deducted = _sum_of(Deduction.objects.filter(promise=OuterRef("pk")))
    return Worded.of(Promise.objects.order_by().values_list("pk", deducted, _sum_of(expired)))


@beforehand
def _credit(vendor: str) -> Worded:
    cards = Person.objects.filter(Q(pk=ASKED) | Q(merged_into=ASKED)).order_by()
    entries = CreditEntry.objects.filter(person__in=cards.values("pk")).order_by()
    return Worded.of(entries.annotate(all=Value(1)).values("all").values_list(Sum("amount_minor")))


@beforehand
def _row(vendor: str) -> Worded:
    rows = Promise.objects.select_for_update(no_key=True).filter(pk=ASKED)
    return Worded.of(rows.order_by().values_list("price_minor", "is_settled"))


@beforehand
def _last_entry(vendor: str) -> Worded:
    newest = CreditEntry.objects.filter(promise=OuterRef("pk")).order_by("-pk").values("pk")[:1]
    return Worded.of(Promise.objects.order_by().values_list("pk", Subquery(newest)))


@beforehand
def _card(vendor: str) -> Worded:
    standing = Person.objects.filter(pk=ASKED).values(pk_of_card=Coalesce("merged_into", "pk"))
    return Worded.of(Person.objects.select_for_update().filter(pk=Subquery(standing)).order_by())
