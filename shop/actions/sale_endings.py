"""A sale that does not stand: cancelled, or taken back. Money, books and instruments go back together."""

from datetime import date

from django.db import transaction

from instruments.actions.moves import move_instrument
from instruments.actions.numbers import next_number
from instruments.problems import Refused, refuse_if_blocked
from instruments.states import Place
from shop.actions.ledger import give_back_allowance, lock_person, refund, release_to_credit, value_in
from shop.actions.promises import close_promise
from shop.actions.stock_book import book_line_of, take_back
from shop.book_problems import dating_problems
from shop.models import BookLine, Purchase, Sale, SaleEnding, UntouchedWaiver
from shop.sale_ending_problems import handing_back_problems
from shop.states import LineKind, PromiseOutcome, PurchaseRoute, SaleEndingKind
from shop.untouched import part_exchanges_of

OUTCOMES = {
    SaleEndingKind.CANCELLED: PromiseOutcome.CANCELLED,
    SaleEndingKind.TAKEN_BACK: PromiseOutcome.RETURNED,
}


def cancel_sale(**given) -> SaleEnding:
    """A sale called off before the instrument left us; see `end_sale`."""
    return end_sale(kind=SaleEndingKind.CANCELLED, **given)


def take_back_sale(**given) -> SaleEnding:
    """An instrument sold comes back from the customer; see `end_sale`."""
    return end_sale(kind=SaleEndingKind.TAKEN_BACK, **given)


@transaction.atomic
def end_sale(
    *,
    sale: Sale,
    kind: str,
    reason: str,
    give_back: str = "refund",
    method: str = "",
    keep_part_exchange: bool = False,
    customer_agreed: bool = False,
    by,
    on: date,
) -> SaleEnding:
    """Undo a sale in one act: what was paid becomes money or credit, the line of the books is taken back in
    the open period, the instrument is ours to offer again, and a credit note has its number.

    What came in part exchange goes back as it came (Consumer Rights Act 2015 s.20(12)); the allowance is
    given back instead only where `keep_part_exchange` and `customer_agreed`.
    """
    lock_person(sale.person)
    refuse_if_blocked(dating_problems(on))
    if not reason.strip():
        raise Refused("Say why the sale does not stand.")
    if keep_part_exchange and not customer_agreed:
        raise Refused("What came in part exchange goes back, unless the customer agrees to money instead.")
    promise = close_promise(promise=sale.promise, outcome=OUTCOMES[SaleEndingKind(kind)], by=by)
    paid = value_in(promise)
    number = next_number("credit note", on=on, prefix="CN")
    for purchase in part_exchanges_of(sale):
        if keep_part_exchange:
            _keep(purchase, number, by=by)
        else:
            _hand_back(purchase, sale, number, by=by, on=on)
    rest = value_in(promise)
    if give_back == "refund":
        refund(promise=promise, amount_minor=rest, method=method, reference=number, by=by, on=on)
    else:
        release_to_credit(promise=promise, amount_minor=rest, note=number, by=by, on=on)
    line = book_line_of(sale)
    if line:
        take_back(line, why=reason, document=number, by=by, on=on)
    _unbuy(sale, number, by=by, on=on)
    if kind == SaleEndingKind.TAKEN_BACK:
        move_instrument(
            instrument=sale.instrument, place=Place.WORKSHOP, note=f"taken back, {number}", by=by, on=on
        )
    return SaleEnding.objects.create(
        sale=sale,
        kind=kind,
        credit_note=number,
        reason=reason,
        paid_minor=paid,
        given_back_minor=rest if give_back == "refund" else 0,
        ended_on=on,
        recorded_by=by,
    )


def _unbuy(sale: Sale, number: str, *, by, on: date) -> None:
    """What is on sale or return was bought by the sale alone, and is its owner's again without it."""
    lines = BookLine.objects.standing().filter(instrument=sale.instrument, kind=LineKind.BOUGHT)
    if line := lines.filter(purchase__route=PurchaseRoute.SALE_OR_RETURN).first():
        take_back(line, why=f"{sale.number} did not stand: its owner's again.", by=by, on=on)


def _keep(purchase: Purchase, number: str, *, by) -> None:
    """Ours for good: it need not stay as it came any longer."""
    reason = f"The customer agreed to its allowance in money, {number}."
    UntouchedWaiver.objects.create(instrument=purchase.instrument, reason=reason, recorded_by=by)


def _hand_back(purchase: Purchase, sale: Sale, number: str, *, by, on: date) -> None:
    """The piano taken in part exchange goes back to the customer; its purchase is undone."""
    refuse_if_blocked(handing_back_problems(purchase.instrument))
    why = f"Given back as it came: {sale.number} did not stand."
    lines = BookLine.objects.standing().filter(instrument=purchase.instrument, kind=LineKind.BOUGHT)
    if line := lines.first():
        take_back(line, why=why, document=number, by=by, on=on)
    give_back_allowance(promise=sale.promise, amount_minor=purchase.price_minor or 0, by=by, on=on)
    move_instrument(instrument=purchase.instrument, place=Place.CUSTOMER, note=why[:100], by=by, on=on)
