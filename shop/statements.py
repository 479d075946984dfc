"""One person's account: every row of the ledger in the order it was written, and what stands after each."""

from dataclasses import dataclass
from datetime import date

from shop.actions.ledger import credit_of
from shop.models import CreditEntry, Payment, Person
from shop.states import CreditKind, PaymentPurpose

ENTRY_VERBS = {
    CreditKind.FROM_PROMISE: "Into credit from",
    CreditKind.TO_PROMISE: "Credit used for",
    CreditKind.PAID_OUT: "Credit paid out, from",
}


@dataclass(frozen=True)
class AccountLine:
    on: date
    words: str
    paid_minor: int | None
    credit_minor: int | None
    credit_after_minor: int


def account_of(person: Person, limit: int = 200) -> list[AccountLine]:
    """Of payments and credit entries the newest, oldest first, with the credit after each line."""
    beside = ("promise__instrument", "commission__order__instrument")
    payments = person.payments.select_related(*beside).order_by("-id")[:limit]
    entries = person.credit_entries.select_related("promise__instrument").order_by("-id")[:limit]
    rows = sorted(
        [*payments, *entries], key=lambda row: (row.recorded_at, isinstance(row, CreditEntry), row.pk)
    )
    lines, credit = [], credit_of(person)
    for row in reversed(rows[-limit:]):
        lines.append(_line(row, credit))
        if isinstance(row, CreditEntry):
            credit -= row.amount_minor
    return lines[::-1]


def _line(row: Payment | CreditEntry, credit: int) -> AccountLine:
    if isinstance(row, Payment) and row.commission:
        return _work_line(row, credit)
    where = f"{row.promise.get_kind_display().lower()} of {row.promise.instrument}"
    if isinstance(row, Payment):
        verb = "Paid on" if row.amount_minor > 0 else "Given back from"
        words = f"Paid for delivery, {where}" if row.purpose == PaymentPurpose.DELIVERY else f"{verb} {where}"
        return AccountLine(row.paid_on, words, row.amount_minor, None, credit)
    verb = ENTRY_VERBS[row.kind]
    words = f"{verb} {where}" + (f" ({row.note})" if row.note else "")
    return AccountLine(row.entered_on, words, None, row.amount_minor, credit)


def _work_line(row: Payment, credit: int) -> AccountLine:
    verb = "Paid for work" if row.amount_minor > 0 else "Given back, work"
    words = f"{verb}, {row.commission.number} on {row.commission.order.instrument}"
    return AccountLine(row.paid_on, words, row.amount_minor, None, credit)
