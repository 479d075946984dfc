"""Money for work that a customer agreed to: apart from any price, and never turned into credit."""

from datetime import date

from django.db import transaction
from django.db.models import Sum

from shop.actions.ledger import NotEnough, lock_person
from shop.actions.payments import enter_payment
from shop.actions.stock_book import enter_fee, lessen_fees
from shop.commissions import standing_of
from shop.models import BookLine, Commission, Payment
from shop.states import PaymentPurpose
from workorders.currency import in_words


def paid_for_work(commission: Commission) -> int:
    return commission.payments.aggregate(sum=Sum("amount_minor"))["sum"] or 0


@transaction.atomic
def take_for_work(
    *, commission: Commission, amount_minor: int, method: str, reference: str = "", by, on: date
) -> Payment:
    """Money toward what was approved, never more than is still to pay."""
    commission = _locked(commission)
    if amount_minor <= 0:
        raise NotEnough("A payment must be more than nothing.")
    to_pay = standing_of(commission).to_pay_minor
    if amount_minor > to_pay:
        raise NotEnough(f"That is more than is still to pay for work agreed: {in_words(to_pay)}.")
    payment = _enter(commission, amount_minor, method, reference, by, on)
    enter_fee(
        instrument=commission.order.instrument,
        person=commission.person,
        amount_minor=amount_minor,
        description=f"Work by {commission.number} on {commission.order.instrument}",
        document=commission.number,
        payment=payment,
        by=by,
        on=on,
    )
    return payment


@transaction.atomic
def refund_for_work(
    *, commission: Commission, amount_minor: int, method: str, reference: str = "", by, on: date
) -> Payment:
    """Give back what was paid for work, such as after a smaller version or a wish withdrawn."""
    commission = _locked(commission)
    if amount_minor <= 0:
        raise NotEnough("What is given back must be more than nothing.")
    if amount_minor > (paid := paid_for_work(commission)):
        raise NotEnough(f"No more can be given back than was paid: {in_words(paid)}.")
    first = commission.payments.filter(amount_minor__gt=0).first()
    lines = BookLine.objects.standing().filter(payment__commission=commission)
    lessen_fees(lines, amount_minor, why=f"Given back on {commission.number}.", by=by, on=on)
    return _enter(commission, -amount_minor, method, reference, by, on, refunds=first)


def _locked(commission: Commission) -> Commission:
    lock_person(commission.person)
    return Commission.objects.select_related("order__instrument", "person").get(pk=commission.pk)


def _enter(commission, amount_minor, method, reference, by, on, *, refunds=None) -> Payment:
    return enter_payment(
        person=commission.person,
        commission=commission,
        purpose=PaymentPurpose.WORK,
        amount_minor=amount_minor,
        method=method,
        reference=reference,
        refunds=refunds,
        by=by,
        on=on,
    )
