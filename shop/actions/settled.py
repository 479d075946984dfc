"""Noting that a sale is settled, so that what is still to be paid or brought is found without the rest."""

from shop.models import HandedOver, Promise
from shop.promise_value import held_in
from shop.states import PromiseKind


def note_settled(promise: Promise) -> None:
    """After each act that pays toward a sale, takes from it or hands it over; inside its transaction.

    The row is held before the sums are read: of two acts at once the later one sees what both have written.
    """
    if promise.kind != PromiseKind.SALE:
        return
    held = Promise.objects.select_for_update(no_key=True).only("price_minor", "is_settled").get(pk=promise.pk)
    if held.is_settled != (settled := is_settled(held)):
        Promise.objects.filter(pk=promise.pk).update(is_settled=settled)


def is_settled(promise: Promise) -> bool:
    """Whether the rows say so of a sale: paid to the penny, and handed over."""
    if held_in(promise).value_minor != promise.price_minor:
        return False
    return HandedOver.objects.filter(sale__promise=promise.pk).exists()
