"""Money paid for a service goes back, in the ledger and in the books."""

from datetime import date

from django.db import transaction

from shop.actions.ledger import NotEnough, fees_in, lock_person
from shop.actions.payments import enter_payment
from shop.actions.stock_book import lessen_fees
from shop.models import BookLine, Payment, Promise
from workorders.currency import in_words


@transaction.atomic
def give_back_fee(
    *, promise: Promise, purpose: str, amount_minor: int, method: str, reference: str, why: str, by, on: date
) -> Payment | None:
    """Out of what was paid for it on this promise; its fee leaves the books by so much."""
    person = lock_person(promise.person)
    if amount_minor > (paid := fees_in(promise, {purpose})):
        words = f"No more can be given back than was paid for it: {in_words(paid)}."
        raise NotEnough(words, about=("amount_minor", "delivery_back_minor"))
    if amount_minor <= 0:
        return None
    lines = BookLine.objects.standing().filter(payment__promise=promise, payment__purpose=purpose)
    lessen_fees(lines, amount_minor, why=why, by=by, on=on)
    return enter_payment(
        person=person,
        promise=promise,
        amount_minor=-amount_minor,
        purpose=purpose,
        method=method,
        reference=reference,
        refunds=promise.payments.filter(purpose=purpose, amount_minor__gt=0).first(),
        by=by,
        on=on,
    )
