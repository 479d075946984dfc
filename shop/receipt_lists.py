"""Receipts by day: what came in and went out by each method, and whether a number is lacking."""

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import date
from itertools import groupby

from django.db.models import QuerySet, Sum

from instruments.models import NumberSeries
from shop.actions.payments import PREFIX, SERIES
from shop.models import Receipt
from shop.states import VALUE_METHODS, PaymentMethod
from shop.stock_export import major

HEADING = (
    *("receipt", "day", "person", "instrument or work", "for", "method", "crosses the counter"),
    *("reference", "amount"),
)
MOST_NAMED = 20


@dataclass(frozen=True)
class DaySum:
    """Of one day, by one method: what came in, less what was given back."""

    method: str
    label: str
    amount_minor: int

    @property
    def is_money(self) -> bool:
        """Value that is allowed or counted crosses no counter."""
        return self.method not in VALUE_METHODS


@dataclass(frozen=True)
class Day:
    on: date
    receipts: list[Receipt]
    sums: list[DaySum] = field(default_factory=list)

    @property
    def money_minor(self) -> int:
        return sum(each.amount_minor for each in self.sums if each.is_money)


def receipts_between(since: date | None, until: date | None) -> QuerySet[Receipt]:
    """The newest day first."""
    rows = Receipt.objects.select_related(
        "payment__person", "payment__promise__instrument", "payment__commission__order__instrument"
    ).order_by("-payment__paid_on", "-id")
    if since:
        rows = rows.filter(payment__paid_on__gte=since)
    return rows.filter(payment__paid_on__lte=until) if until else rows


def days_of(receipts: Iterable[Receipt]) -> list[Day]:
    """Of one page of receipts the days, each with the sums of the whole day."""
    days = [(on, list(rows)) for on, rows in groupby(receipts, key=lambda each: each.payment.paid_on)]
    sums = _sums_on([on for on, _ in days])
    return [Day(on, rows, sums[on]) for on, rows in days]


def sums_of(receipts: QuerySet[Receipt]) -> list[DaySum]:
    """By method, over all of them."""
    summed = receipts.order_by().values("payment__method").annotate(sum=Sum("payment__amount_minor"))
    return _in_order((row["payment__method"], row["sum"]) for row in summed)


def _sums_on(days: list[date]) -> dict[date, list[DaySum]]:
    rows = Receipt.objects.filter(payment__paid_on__in=days).order_by()
    found: dict[date, list] = defaultdict(list)
    for row in rows.values("payment__paid_on", "payment__method").annotate(sum=Sum("payment__amount_minor")):
        found[row["payment__paid_on"]].append((row["payment__method"], row["sum"]))
    return defaultdict(list, {on: _in_order(sums) for on, sums in found.items()})


def _in_order(sums: Iterable[tuple[str, int]]) -> list[DaySum]:
    order, labels = list(PaymentMethod), dict(PaymentMethod.choices)
    return [
        DaySum(method, labels[method], amount)
        for method, amount in sorted(sums, key=lambda pair: order.index(PaymentMethod(pair[0])))
    ]


def numbers_lacking() -> list[str]:
    """Receipts that were numbered and are not there, of every year. None, unless somebody meddled."""
    lacking: list[str] = []
    for series in NumberSeries.objects.filter(series=SERIES).order_by("year"):
        begins = f"{PREFIX}{series.year % 100:02d}-"
        rows = Receipt.objects.filter(number__startswith=begins)
        if rows.count() == series.last:
            continue
        there = set(rows.values_list("number", flat=True))
        lacking += [
            number for each in range(1, series.last + 1) if (number := f"{begins}{each:03d}") not in there
        ]
    return lacking[:MOST_NAMED]


def receipt_table(receipts: QuerySet[Receipt]) -> tuple[tuple[str, ...], Iterator[list]]:
    """For a spreadsheet, the oldest first."""
    return HEADING, (_cells(each) for each in receipts.order_by("payment__paid_on", "id").iterator(500))


def _cells(receipt: Receipt) -> list:
    payment = receipt.payment
    return [
        receipt.number,
        payment.paid_on,
        str(payment.person),
        what_for(receipt),
        payment.get_purpose_display(),
        payment.get_method_display(),
        payment.method not in VALUE_METHODS,
        payment.reference,
        major(payment.amount_minor),
    ]


def what_for(receipt: Receipt) -> str:
    payment = receipt.payment
    if payment.commission:
        return f"{payment.commission.number}, {payment.commission.order.instrument}"
    return f"{payment.promise.get_kind_display()}, {payment.promise.instrument}"
