"""Noting that a sale is settled, so that what is still to be paid or brought is found without the rest."""

from shop.models import HandedOver, Promise
from shop.promise_value import held_in, held_row_of
from shop.states import PromiseKind


def note_settled(promise: Promise) -> None:
    """After each act that pays toward a sale, takes from it or hands it over; inside its transaction.

    The row is held before the sums are read: of two acts at once the later one sees what both have written.
    """
    if promise.kind != PromiseKind.SALE:
        return
    price_minor, was_settled = held_row_of(promise)
    if was_settled != (settled := _is_settled(promise, price_minor)):
        Promise.objects.filter(pk=promise.pk).update(is_settled=settled)


def is_settled(promise: Promise) -> bool:
    """Whether the rows say so of a sale: paid to the penny, and handed over."""
    return _is_settled(promise, promise.price_minor)


def _is_settled(promise: Promise, price_minor: int | None) -> bool:
    if held_in(promise).value_minor != price_minor:
        return False
    return HandedOver.objects.filter(sale__promise=promise.pk).exists()
