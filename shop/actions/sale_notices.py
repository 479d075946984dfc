"""A buyer says that a sale is to end: from then the days count. `end_sale` carries it out."""

from datetime import date

from django.db import transaction

from instruments.actions.moves import move_instrument
from instruments.problems import Refused, refuse_if_blocked
from instruments.states import Place
from shop.actions.ledger import lock_person
from shop.models import Promise, Sale, SaleNotice
from shop.sale_days import days_of_sale
from shop.sale_notice_problems import ending_problems, notice_of


@transaction.atomic
def give_notice(
    *,
    sale: Sale,
    kind: str,
    told_on: date,
    reason: str = "",
    agreed_on: date | None = None,
    collection_offered: bool = True,
    sent_on: date | None = None,
    back_on: date | None = None,
    by,
) -> SaleNotice:
    """What the buyer said, and what has happened since; a later row holds instead of the one before.

    The day it is back with us moves it into the workshop, whether or not it is paid back yet.
    """
    lock_person(sale.person)
    if not Promise.objects.open().filter(pk=sale.promise_id).exists():
        raise Refused(f"{sale.number} has ended.")
    refuse_if_blocked(ending_problems(sale, days_of_sale(sale), kind=kind, told_on=told_on))
    if agreed_on and agreed_on < told_on:
        words = f"We cannot have agreed to it before they told us, on {told_on:%-d %B %Y}."
        raise Refused(words, about=("agreed_on",))
    before = notice_of(sale)
    notice = SaleNotice.objects.create(
        sale=sale,
        kind=kind,
        told_on=told_on,
        reason=reason,
        agreed_on=agreed_on,
        collection_offered=collection_offered,
        sent_on=sent_on,
        back_on=back_on,
        recorded_by=by,
    )
    if back_on and not (before and before.back_on):
        note = f"back from its buyer, {sale.number}"
        move_instrument(instrument=sale.instrument, place=Place.WORKSHOP, note=note, by=by, on=back_on)
    return notice


@transaction.atomic
def take_notice_back(*, sale: Sale, reason: str, by, on: date) -> SaleNotice:
    """The buyer keeps it after all, and the sale stands."""
    lock_person(sale.person)
    standing = notice_of(sale)
    if standing is None:
        raise Refused("Nobody has asked to end this sale.")
    return SaleNotice.objects.create(
        sale=sale, kind=standing.kind, told_on=on, reason=reason, is_taken_back=True, recorded_by=by
    )
