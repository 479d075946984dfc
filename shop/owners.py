"""What is here on sale or return: what its owner gets of a sale, and what is still owed to owners."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from django.db.models import Exists, OuterRef, QuerySet, Sum

from instruments.models.together import asking
from shop.models import PayOut, Promise, SaleOrReturn
from shop.states import PromiseKind
from workorders.calc.money import share_minor


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
    return next(iter(owed_of([agreement])), None)


@asking
def owed_of(agreements: Iterable[SaleOrReturn]):
    """`Owed` of each whose instrument is sold; the number of queries does not grow with them."""
    agreements = list(agreements)
    instruments = [each.instrument_id for each in agreements]
    sold = Promise.objects.open().filter(instrument__in=instruments, kind=PromiseKind.SALE)
    paid = PayOut.objects.filter(agreement__in=agreements).order_by().values_list("agreement", "promise")
    sold, paid = yield (
        sold.filter(sale__isnull=False).select_related("sale"),
        paid.annotate(Sum("amount_minor")),
    )
    promises = {each.instrument_id: each for each in sold}
    paid = {(agreement, promise): amount for agreement, promise, amount in paid}
    return [
        Owed(
            each,
            promise,
            owners_part_minor(each, promise.sale.price_minor),
            paid.get((each.pk, promise.pk), 0),
            promise.sale.sold_on + timedelta(days=each.payout_days),
        )
        for each in agreements
        if (promise := promises.get(each.instrument_id))
    ]


@asking
def owed_to_owners(agreements: QuerySet[SaleOrReturn] | None = None):
    """`Owed` for what is sold and not paid out in full, the first due first."""
    sold = Promise.objects.open().filter(kind=PromiseKind.SALE, instrument=OuterRef("instrument"))
    rows = SaleOrReturn.objects.all() if agreements is None else agreements
    rows = rows.standing().filter(Exists(sold)).select_related("owner__merged_into", "instrument")
    (rows,) = yield (rows,)
    found = yield from owed_of.later(rows)
    return sorted((row for row in found if row.owed_minor), key=lambda row: row.due_on)
