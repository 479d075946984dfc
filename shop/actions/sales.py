"""Selling an instrument from stock."""

from datetime import date

from instruments.actions.numbers import next_number
from instruments.actions.whole import whole
from instruments.models import Instrument
from instruments.problems import refuse_if_blocked
from shop.actions.ledger import (
    lock_person,
    release_to_credit,
    still_to_pay,
    take_payment,
    use_credit,
    value_in,
)
from shop.actions.promises import close_promise, open_promise
from shop.actions.sale_course import write_agreed
from shop.actions.sale_or_return import buy_by_selling
from shop.actions.stock_book import enter_sale, tax_of_sale
from shop.book_problems import dating_problems
from shop.models import Person, Sale, Trial
from shop.problems import open_promise_of
from shop.states import PromiseKind, PromiseOutcome


@whole
def sell(
    *,
    instrument: Instrument,
    person: Person,
    price_minor: int,
    pay_now_minor: int = 0,
    credit_minor: int = 0,
    method: str = "",
    reference: str = "",
    agreed: dict | None = None,
    by,
    on: date,
) -> Sale:
    """Sell to one person, with what is paid now and what comes out of their credit. All or nothing.

    A hold that this same person has on the instrument ends by becoming the sale, and its deposit counts.
    `agreed` is what `write_agreed` takes: where, with whom, and when the right to cancel was explained.
    """
    person = lock_person(person)
    held = open_promise_of(instrument)
    deposit = 0
    if held and held.kind == PromiseKind.HOLD and person.rows().filter(pk=held.person_id).exists():
        closed = close_promise(promise=held, outcome=PromiseOutcome.SOLD, by=by)
        deposit = value_in(closed)
        release_to_credit(promise=closed, amount_minor=deposit, note="Hold became the sale", by=by, on=on)
    sale = record_sale(instrument=instrument, person=person, price_minor=price_minor, by=by, on=on)
    if agreed:
        write_agreed(sale=sale, by=by, **agreed)
    to_pay = still_to_pay(sale.promise) - pay_now_minor
    credit_minor = max(credit_minor, min(deposit, to_pay))
    if credit_minor:
        use_credit(promise=sale.promise, amount_minor=credit_minor, note=sale.number, by=by, on=on)
    if pay_now_minor:
        take_payment(
            promise=sale.promise,
            amount_minor=pay_now_minor,
            method=method,
            reference=reference,
            by=by,
            on=on,
        )
    return sale


def record_sale(
    *,
    instrument: Instrument,
    person: Person,
    price_minor: int,
    from_trial: Trial | None = None,
    by,
    on: date,
) -> Sale:
    """The sale, the promise it rests on and its line in the books. To pay is the price with what tax comes on
    top of it. Must run inside the transaction of the act that sells.
    """
    refuse_if_blocked(dating_problems(on))
    buy_by_selling(instrument=instrument, price_minor=price_minor, by=by, on=on)
    tax, *_ = taxed = tax_of_sale(instrument, price_minor, on=on)
    promise = open_promise(
        instrument=instrument, person=person, kind=PromiseKind.SALE, price_minor=tax.gross_minor, by=by, on=on
    )
    sale = Sale.objects.create(
        number=next_number("sale", on=on, prefix="S"),
        instrument=instrument,
        person=person,
        promise=promise,
        price_minor=price_minor,
        sold_on=on,
        from_trial=from_trial,
        recorded_by=by,
    )
    enter_sale(sale, taxed)
    return sale
