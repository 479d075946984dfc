"""The one way money comes into the ledger: each payment with its receipt, numbered in one transaction."""

from datetime import date

from instruments.actions.numbers import last_in, next_number
from shop.actions.settled import note_settled
from shop.actions.stock_book import ONE_SERIES
from shop.actions.stock_book import SERIES as BOOK_SERIES
from shop.commissions import standing_of
from shop.models import Commission, CreditEntry, Payment, Person, Promise, Receipt
from shop.promise_value import last_credit_entry_of
from shop.states import PaymentPurpose

SERIES, PREFIX = "receipt", "RC"


def enter_payment(
    *,
    person: Person,
    promise: Promise | None = None,
    commission: Commission | None = None,
    amount_minor: int,
    purpose: str = PaymentPurpose.PRICE,
    method: str,
    reference: str = "",
    refunds: Payment | None = None,
    pays_out: CreditEntry | None = None,
    by,
    on: date,
) -> Payment:
    """The one way money comes into the ledger, with its receipt. Must run inside a transaction that holds
    the person's row.

    Acts number their lines of the books before or after the money. The books are held first, always, so
    that no two acts wait for each other.
    """
    last_in(BOOK_SERIES, year=ONE_SERIES)
    payment = Payment.objects.create(
        person=person,
        promise=promise,
        commission=commission,
        amount_minor=amount_minor,
        purpose=purpose,
        method=method,
        reference=reference,
        refunds=refunds,
        paid_on=on,
        recorded_by=by,
    )
    Receipt.objects.create(
        number=next_number(SERIES, on=on, prefix=PREFIX),
        payment=payment,
        agreed_minor=standing_of(commission).approved_minor if commission else promise.price_minor,
        counted_until_id=last_credit_entry_of(promise) if promise else None,
        pays_out=pays_out,
    )
    if promise:
        note_settled(promise)
    return payment
