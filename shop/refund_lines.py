"""What a refund gives back, payment by payment, and what was kept of it, each with its words."""

from collections.abc import Iterator

from django.db.models import Q, Sum

from instruments.documents.content import MoneyLine
from shop.calc.receipt import shares_of
from shop.deduction_states import DeductionKind
from shop.models import Payment, Promise
from shop.states import CreditKind, PaymentMethod, PromiseKind, PromiseOutcome
from workorders.currency import in_words


def refunded_lines(refund: Payment) -> Iterator[MoneyLine]:
    """Each payment that it gives back, with its share: the oldest first, less what earlier refunds took.

    A part exchange stands for what goes back in kind, and for money only after all money. What the payments
    do not reach came out of credit.
    """
    left = _moved_into(refund)
    rows = (refund.commission or refund.promise).payments.filter(purpose=refund.purpose, pk__lte=refund.pk)
    shares, beyond = {}, 0
    for each in rows.select_related("receipt").order_by("pk"):
        if each.amount_minor > 0:
            left[each] = each.amount_minor
        else:
            shares, beyond = _take(-each.amount_minor, left, in_kind=_is_in_kind(each))
    for payment, share in shares.items():
        yield _line(payment, share)
    if beyond:
        yield MoneyLine("Out of credit", in_words(beyond))


def kept_lines_of(promise: Promise) -> Iterator[tuple[str, int, str]]:
    """What was kept when it ended: what for, the sum, and how they agreed or were told."""
    hold = getattr(promise, "hold_ending", None)
    sale = getattr(promise.sale, "ending", None) if promise.kind == PromiseKind.SALE else None
    if hold and hold.kept_minor:
        yield hold.kept_reason, hold.kept_minor, f"told: {hold.told_how}"
    if sale and sale.deduction_minor:
        yield sale.deduction_for, sale.deduction_minor, ""
    for line in promise.deductions.standing().exclude(kind=DeductionKind.GIVEN_BACK):
        yield str(line), line.amount_minor, line.agreed_words


def _take(amount_minor: int, left: dict[Payment, int], *, in_kind: bool) -> tuple[dict[Payment, int], int]:
    """The shares of one refund, taken off what is left."""
    order = sorted(left, key=lambda each: _is_in_kind(each) != in_kind)
    parts, beyond = shares_of(amount_minor, [left[each] for each in order])
    shares = {each: part for each, part in zip(order, parts, strict=True) if part}
    for each, part in shares.items():
        left[each] -= part
    return shares, beyond


def _moved_into(refund: Payment) -> dict[Payment, int]:
    """Payments on the hold or the home trial that became this sale, as far as they were used on it."""
    promise = refund.promise
    if refund.receipt.pays_out_id or not promise or promise.kind != PromiseKind.SALE:
        return {}
    used = promise.credit_entries.filter(kind=CreditKind.TO_PROMISE).aggregate(sum=Sum("amount_minor"))["sum"]
    before = Q(promise__kind=PromiseKind.HOLD, promise__instrument=promise.instrument_id)
    before &= Q(promise__outcome=PromiseOutcome.SOLD, promise__pk__lt=promise.pk)
    before |= Q(promise__trial__sale=promise.sale)
    rows = Payment.objects.toward_price().filter(before, person__in=promise.person.rows())
    paid = list(rows.filter(amount_minor__gt=0).select_related("receipt").order_by("pk"))
    shares, _ = shares_of(-(used or 0), [each.amount_minor for each in paid])
    return {each: share for each, share in zip(paid, shares, strict=True) if share}


def _is_in_kind(payment: Payment) -> bool:
    return payment.method == PaymentMethod.PART_EXCHANGE


def _line(payment: Payment, share_minor: int) -> MoneyLine:
    label = f"Of receipt {payment.receipt.number} of {payment.paid_on:%-d %B %Y}"
    how = f"{in_words(payment.amount_minor)} by {payment.get_method_display().lower()}"
    return MoneyLine(label, in_words(share_minor), how)
