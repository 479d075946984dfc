"""What came into a promise and what left it, line by line, so that the lines are what it holds."""

from dataclasses import dataclass

from shop.models import Promise, Receipt


@dataclass(frozen=True)
class MoneyRow:
    """`held_minor` is more than nothing for what came in, less for what went out again."""

    words: str
    basis: str
    held_minor: int
    receipt: Receipt | None = None

    @property
    def to_pay_minor(self) -> int:
        """The same, as it stands in a sum that begins with the price."""
        return -self.held_minor


def money_rows(promise: Promise) -> list[MoneyRow]:
    """As `value_in` sums it, in the order of the days."""
    rows = [
        (payment.paid_on, payment.recorded_at, _paid(payment))
        for payment in promise.payments.toward_price().select_related("receipt")
    ]
    rows += [(entry.entered_on, entry.recorded_at, _moved(entry)) for entry in promise.credit_entries.all()]
    return [row for _, _, row in sorted(rows, key=lambda each: each[:2])]


def _paid(payment) -> MoneyRow:
    word = "Paid" if payment.amount_minor > 0 else "Given back"
    basis = payment.get_method_display() + (f", {payment.reference}" if payment.reference else "")
    receipt = getattr(payment, "receipt", None)
    return MoneyRow(f"{word} {payment.paid_on:%-d %B %Y}", basis, payment.amount_minor, receipt)


def _moved(entry) -> MoneyRow:
    words = f"{entry.get_kind_display()}, {entry.entered_on:%-d %B %Y}"
    return MoneyRow(words, entry.note, -entry.amount_minor)
