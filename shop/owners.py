"""What is here on sale or return: what its owner gets of a sale, and what is still owed to owners."""

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from django.db.models import Sum

from shop.models import Promise, SaleOrReturn
from shop.states import PromiseKind
from workorders.calc.money import share_minor

MOST = 100


@dataclass(frozen=True)
class Owed:
    """One sale of an owner’s instrument: their part, what was paid out of it, and by when the rest is due."""

    agreement: SaleOrReturn
    promise: Promise
    share_minor: int
    paid_minor: int
    due_on: date

    @property
    def owed_minor(self) -> int:
        return self.share_minor - self.paid_minor


def owners_part_minor(agreement: SaleOrReturn, price_minor: int) -> int:
    """The share of the price, half up, or the fixed sum."""
    if agreement.net_minor is not None:
        return agreement.net_minor
    return share_minor(price_minor, Decimal(agreement.share_percent) / 100)


def owed_for(agreement: SaleOrReturn) -> Owed | None:
    """None while no sale of it stands."""
    promise = (
        Promise.objects.open()
        .filter(instrument=agreement.instrument_id, kind=PromiseKind.SALE)
        .select_related("sale")
        .first()
    )
    if promise is None or not hasattr(promise, "sale"):
        return None
    paid = agreement.payouts.filter(promise=promise).aggregate(sum=Sum("amount_minor"))["sum"] or 0
    return Owed(
        agreement,
        promise,
        owners_part_minor(agreement, promise.sale.price_minor),
        paid,
        promise.sale.sold_on + timedelta(days=agreement.payout_days),
    )


def owed_to_owners() -> list[Owed]:
    """Sold and not paid out in full, the first due first."""
    sold = Promise.objects.open().filter(kind=PromiseKind.SALE).values("instrument")
    agreements = SaleOrReturn.objects.standing().filter(instrument__in=sold)
    rows = [owed_for(each) for each in agreements.select_related("owner", "instrument")[:MOST]]
    return sorted((row for row in rows if row and row.owed_minor), key=lambda row: row.due_on)
