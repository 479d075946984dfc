"""What the seller of an instrument was paid, and what they are still owed."""

from dataclasses import dataclass
from datetime import date

from django.db.models import Sum

from instruments.models import Instrument
from shop.models import Purchase, SellerPayment
from shop.models.purchase import PAID_ELSEWHERE


@dataclass(frozen=True)
class Settling:
    """How a purchase is settled as it is written down: in full, or by payments that are still to come."""

    in_full: bool = True
    method: str = ""
    reference: str = ""


@dataclass(frozen=True)
class SellerMoney:
    """The purchase that holds, and each payment to its seller; a correction of it keeps them."""

    purchase: Purchase
    payments: tuple[SellerPayment, ...]

    @property
    def paid_minor(self) -> int:
        return sum(each.amount_minor for each in self.payments)

    @property
    def owed_minor(self) -> int:
        return (self.purchase.price_minor or 0) - self.paid_minor

    @property
    def paid_on(self) -> date | None:
        """The day of the last payment, where nothing is owed any more."""
        return self.payments[-1].paid_on if self.payments and not self.owed_minor else None


def money_of(instrument: Instrument) -> SellerMoney | None:
    """None where nothing was bought, or where the seller is paid by other means."""
    purchase = instrument.purchases.select_related("seller").first()
    if purchase is None or purchase.price_minor is None or purchase.route in PAID_ELSEWHERE:
        return None
    rows = SellerPayment.objects.filter(purchase__instrument=instrument).select_related("recorded_by")
    return SellerMoney(purchase, tuple(rows.order_by("id")))


def paid_for(instrument: Instrument) -> int:
    rows = SellerPayment.objects.filter(purchase__instrument=instrument)
    return rows.aggregate(sum=Sum("amount_minor"))["sum"] or 0
