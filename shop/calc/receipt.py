"""What stood before a payment and after it, and which payments a refund is made of. Minor units, exact."""

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True)
class Stood:
    """What was paid toward something before one payment and after it; `agreed` is None without a price."""

    before_minor: int
    after_minor: int
    agreed_minor: int | None = None

    @property
    def to_pay_before_minor(self) -> int | None:
        return _to_pay(self.agreed_minor, self.before_minor)

    @property
    def to_pay_after_minor(self) -> int | None:
        return _to_pay(self.agreed_minor, self.after_minor)


def stood(
    amount_minor: int,
    *,
    payments_before: Iterable[int],
    credit_entries_before: Iterable[int] = (),
    agreed_minor: int | None = None,
) -> Stood:
    """Signed amounts as the ledger has them: a credit entry of a promise lessens what is paid on it."""
    before = sum(payments_before) - sum(credit_entries_before)
    return Stood(before, before + amount_minor, agreed_minor)


def _to_pay(agreed: int | None, paid: int) -> int | None:
    return None if agreed is None else max(0, agreed - paid)


def shares_of(amount_minor: int, paid_minor: Iterable[int]) -> tuple[list[int], int]:
    """How much of each payment, in this order, makes up an amount; and what they do not reach."""
    shares = []
    for paid in paid_minor:
        shares.append(min(paid, amount_minor))
        amount_minor -= shares[-1]
    return shares, amount_minor
