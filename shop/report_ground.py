"""What reports are made of: rows of the shop's own stock, sums of their cost, days in each stage."""

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from django.db.models import Exists, Max, Min, OuterRef, Q, QuerySet
from django.utils import timezone

from instruments.models import Instrument
from shop.calc.stages import Milestones, StageDays, stage_days
from shop.calc.true_costs import margin_percent
from shop.costs import TrueCost, true_costs
from shop.models import Listing, Promise, Sale
from shop.ownership import stock_only
from workorders.models import WorkOrder

MOST = 500
MOST_BARS = 20
TEXT, MONEY, NUMBER, PERCENT, DAY = "text", "money", "number", "percent", "day"


@dataclass(frozen=True)
class Between:
    since: date
    until: date


@dataclass(frozen=True)
class Row:
    cells: tuple
    url: str = ""


@dataclass(frozen=True)
class Bar:
    """`amount` is drawn; `words` stand at its end."""

    label: str
    amount: int
    is_money: bool = False


@dataclass(frozen=True)
class Report:
    """`columns` are (heading, kind of cell); `totals` stand under the rows, None where there is no sum."""

    columns: tuple[tuple[str, str], ...]
    rows: list[Row]
    bars: list[Bar] = field(default_factory=list)
    bars_are: str = ""
    totals: tuple | None = None
    left_out: int = 0


def our_stock() -> QuerySet[Instrument]:
    """The shop's own: without customers' instruments and what is here on sale or return."""
    return stock_only(Instrument.objects)


def unsold(between: Between) -> QuerySet[Instrument]:
    """In stock today and arrived between two days, the oldest first."""
    standing = Sale.objects.filter(instrument=OuterRef("pk"), promise__closed_at__isnull=True)
    arrived = Q(first_moved__gte=between.since, first_moved__lte=between.until)
    return (
        our_stock()
        .exclude(Exists(standing))
        .annotate(first_moved=Min("moves__moved_on"))
        .filter(arrived)
        .order_by("first_moved", "id")
    )


def sold(between: Between) -> QuerySet[Instrument]:
    standing = Sale.objects.filter(
        instrument=OuterRef("pk"),
        promise__closed_at__isnull=True,
        sold_on__gte=between.since,
        sold_on__lte=between.until,
    )
    return our_stock().filter(Exists(standing)).order_by("-id")


def bounded(rows: QuerySet[Instrument]) -> tuple[list[Instrument], int]:
    """At most `MOST`, and how many were left out."""
    found = list(rows[: MOST + 1])
    return found[:MOST], rows.count() - MOST if len(found) > MOST else 0


@dataclass(frozen=True)
class Sums:
    price: int
    tax: int
    cost: int
    profit: int

    @property
    def percent(self) -> Decimal | None:
        return margin_percent(self.profit, self.price)


def sums_of(costs: Iterable[TrueCost]) -> Sums:
    every = list(costs)
    return Sums(
        sum(each.price_minor or 0 for each in every),
        sum(each.tax_minor or 0 for each in every),
        sum(each.total_minor for each in every),
        sum(each.margin_minor or 0 for each in every),
    )


def sold_with_costs(between: Between, on: date) -> tuple[list[tuple[Instrument, TrueCost]], int]:
    """With their cost, the highest profit first; one whose purchase nobody recorded stands last."""
    found, left = bounded(sold(between))
    costs = true_costs(found, on=on)
    least = min((cost.margin_minor or 0 for cost in costs.values()), default=0) - 1

    def profit(each: Instrument) -> int:
        margin = costs[each.pk].margin_minor
        return least if margin is None else margin

    order = sorted(found, key=lambda each: (-profit(each), each.pk))
    return [(each, costs[each.pk]) for each in order], left


def stages_of(instruments: list[Instrument], *, on: date) -> dict[int, StageDays]:
    """In a fixed number of queries. It arrived with its first place on file."""
    keys = [each.pk for each in instruments]
    orders = WorkOrder.objects.filter(instrument__in=keys)
    begun = dict(orders.order_by().values_list("instrument").annotate(first=Min("opened_on")))
    busy = set(orders.open().values_list("instrument", flat=True))
    done = dict(orders.closed().order_by().values_list("instrument").annotate(last=Max("closed_at")))
    offered = dict(
        Listing.objects.filter(instrument__in=keys, first_published_at__isnull=False).values_list(
            "instrument", "first_published_at"
        )
    )
    promised = dict(Promise.objects.open().filter(instrument__in=keys).values_list("instrument", "opened_on"))
    return {
        each.pk: stage_days(
            Milestones(
                arrived=each.first_moved,
                work_begun=begun.get(each.pk),
                work_done=None if each.pk in busy else _day(done.get(each.pk)),
                offered=_day(offered.get(each.pk)),
                promised=promised.get(each.pk),
            ),
            on=on,
        )
        for each in instruments
    }


def _day(moment) -> date | None:
    return timezone.localdate(moment) if moment else None
