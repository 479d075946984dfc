"""A sale that does not stand: cancelled, or taken back. Money, books and instruments go back together."""

from datetime import date

from django.db import transaction

from instruments.actions.moves import move_instrument
from instruments.actions.numbers import next_number
from instruments.problems import Refused, refuse_if_blocked
from instruments.states import Place
from shop.actions.fee_refunds import give_back_fee
from shop.actions.ledger import (
    NotEnough,
    fees_in,
    give_back_allowance,
    lock_person,
    refund,
    release_to_credit,
    value_in,
)
from shop.actions.promises import close_promise
from shop.actions.stock_book import book_line_of, take_back
from shop.book_problems import dating_problems
from shop.models import BookLine, Purchase, Sale, SaleEnding, SaleNotice, UntouchedWaiver
from shop.refund_days import refund_day
from shop.sale_ending_problems import handing_back_problems
from shop.sale_notice_problems import (
    carriage_back,
    carriage_of,
    carriage_problems,
    carrying_out_problems,
    notice_of,
)
from shop.states import LineKind, PaperKind, PaymentPurpose, PromiseOutcome, PurchaseRoute, SaleEndingKind
from shop.untouched import part_exchanges_of
from workorders.currency import in_words

CALLED_OFF = {SaleEndingKind.CANCELLED, SaleEndingKind.RIGHT}


def cancel_sale(**given) -> SaleEnding:
    """A sale called off before the instrument left us; see `end_sale`."""
    return end_sale(kind=SaleEndingKind.CANCELLED, **given)


def take_back_sale(**given) -> SaleEnding:
    """An instrument sold comes back from the customer by agreement; see `end_sale`."""
    return end_sale(kind=SaleEndingKind.GOODWILL, **given)


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
    deduction_minor: int = 0,
    deduction_for: str = "",
    other_means_agreed: bool = False,
    is_back: bool = True,
    delivery_back_minor: int | None = None,
    chose_dearer: bool = False,
    told_on: date | None = None,
    by,
    on: date,
) -> SaleEnding:
    """Undo a sale in one act: what was paid becomes money or credit, the line of the books is taken back in
    the open period, the instrument is ours to offer again, and a credit note has its number where there is
    an invoice to credit.

    The day they told us is that of their notice, else `told_on`, else today. Where money goes back before
    the instrument is here (`is_back` false), its place stays what it was.

    What was paid for delivery goes back beside it, as money: see `carriage_back`.

    What came in part exchange goes back as it came (Consumer Rights Act 2015 s.20(12)); the allowance is
    given back instead only where `keep_part_exchange` and `customer_agreed`.
    """
    lock_person(sale.person)
    refuse_if_blocked(dating_problems(on))
    if not reason.strip():
        raise Refused("Say why the sale does not stand.", about=("reason",))
    if keep_part_exchange and not customer_agreed:
        words = "What came in part exchange goes back, unless the customer agrees to money instead."
        raise Refused(words, about=("customer_agreed",))
    if deduction_minor and not deduction_for.strip():
        raise Refused("Say what is kept of what they paid, and why.", about=("deduction_for",))
    notice = notice_of(sale)
    told = notice.told_on if notice else told_on or on
    ways = {"deduction_minor": deduction_minor, "given_by": method if give_back == "refund" else give_back}
    refuse_if_blocked(
        carrying_out_problems(sale, kind=kind, told_on=told, other_means_agreed=other_means_agreed, **ways)
    )
    charged = carriage_of(sale)
    delivery = carriage_back(kind, charged, delivery_back_minor)
    refuse_if_blocked(carriage_problems(kind=kind, charged=charged, back=delivery, chose_dearer=chose_dearer))
    comes_back = is_back and _is_to_come_back(sale, kind, notice)
    outcome = PromiseOutcome.CANCELLED if kind in CALLED_OFF else PromiseOutcome.RETURNED
    promise = close_promise(promise=sale.promise, outcome=outcome, by=by)
    paid = value_in(promise)
    number = _number_of_ending(sale, on=on)
    for purchase in part_exchanges_of(sale):
        if keep_part_exchange:
            _keep(purchase, number, by=by)
        else:
            _hand_back(purchase, sale, number, by=by, on=on)
    rest = value_in(promise) - deduction_minor
    if rest < 0:
        words = f"More would be kept than was paid: at most {in_words(max(0, rest + deduction_minor))}."
        raise NotEnough(words, about=("deduction_minor",))
    if give_back == "refund":
        refund(promise=promise, amount_minor=rest, method=method, reference=number, by=by, on=on)
    else:
        release_to_credit(promise=promise, amount_minor=rest, note=number, by=by, on=on)
    _give_delivery_back(sale, delivery, method, number, by=by, on=on)
    if line := book_line_of(sale):
        take_back(line, why=reason, document=number, by=by, on=on)
    _unbuy(sale, number, by=by, on=on)
    if comes_back:
        note = f"back from its buyer, {number}"
        move_instrument(instrument=sale.instrument, place=Place.WORKSHOP, note=note, by=by, on=on)
    return SaleEnding.objects.create(
        sale=sale,
        kind=kind,
        credit_note=number,
        reason=reason,
        paid_minor=paid,
        given_back_minor=rest if give_back == "refund" else 0,
        deduction_minor=deduction_minor,
        deduction_for=deduction_for if deduction_minor else "",
        other_means_agreed=other_means_agreed,
        told_on=told,
        refund_by=refund_day(sale, notice).by if notice and notice.kind == kind else None,
        ended_on=on,
        recorded_by=by,
    )


def _number_of_ending(sale: Sale, *, on: date) -> str:
    """The next credit note, where an invoice was printed that it credits."""
    if sale.papers.filter(kind=PaperKind.INVOICE).exists():
        return next_number("credit note", on=on, prefix="CN")
    return f"{sale.number}-E"


def _give_delivery_back(sale: Sale, amount_minor: int, method: str, number: str, *, by, on: date) -> None:
    """Out of what was paid for it on the sale, then on the trial before it."""
    promises = [sale.promise] + ([sale.from_trial.promise] if sale.from_trial else [])
    for promise in promises:
        part = min(amount_minor, fees_in(promise, {PaymentPurpose.DELIVERY}))
        amount_minor -= part
        first = promise.payments.filter(purpose=PaymentPurpose.DELIVERY, amount_minor__gt=0).first()
        give_back_fee(
            promise=promise,
            purpose=PaymentPurpose.DELIVERY,
            amount_minor=part,
            method=method or (first.method if first else ""),
            reference=number,
            why=f"Delivery given back, {number}.",
            by=by,
            on=on,
        )


def _is_to_come_back(sale: Sale, kind: str, notice: SaleNotice | None) -> bool:
    """Not what is in the workshop since its notice, nor what was called off before it went out."""
    if sale.instrument.place == Place.CUSTOMER:
        return True
    return kind not in CALLED_OFF and not (notice and notice.back_on)


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
