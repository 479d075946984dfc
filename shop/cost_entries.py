"""What one instrument cost, line by line: each with its source and its day."""

from dataclasses import dataclass
from datetime import date

from django.db.models import Max, Sum
from django.urls import reverse

from instruments.models import Instrument
from shop.calc.true_costs import KINDS, storage_weeks
from shop.cost_rows import work_for_owners, work_under_guarantee
from shop.costs import TrueCost, stays_of
from workorders.calc.durations import minutes_words
from workorders.models import OutsideBill, PartUsed, TimeSpent

MOST = 200


@dataclass(frozen=True)
class Line:
    """`source` says where the figure comes from, with the page that shows it."""

    kind: str
    words: str
    amount_minor: int
    source: str
    on: date | None = None
    url: str = ""

    @property
    def kind_words(self) -> str:
        return KINDS[self.kind]


def lines_of(instrument: Instrument, cost: TrueCost, *, user) -> list[Line]:
    """In the order of `KINDS`; they add up to what was spent. Beyond `MOST` of a sort one holds the rest."""
    guaranteed = set(work_under_guarantee([instrument.pk]).values_list("pk", flat=True))
    found = [
        *_purchase(cost, user),
        *_cost_lines(instrument),
        *_time(instrument, guaranteed),
        *_parts(instrument, guaranteed),
        *_bills(instrument, guaranteed),
        *_storage(cost),
        *_reserve(cost),
    ]
    ordered = sorted(found, key=lambda line: (list(KINDS).index(line.kind), line.on or date.min))
    return [*ordered, *_rest(ordered, cost)]


def _purchase(cost: TrueCost, user) -> list[Line]:
    purchase = cost.on_file.purchase
    if purchase is None or cost.purchase_minor is None:
        return []
    whom = f", {purchase.seller}" if purchase.seller_id and user.has_perm("shop.see_people") else ""
    words = f"{purchase.get_route_display()}{whom}"
    invoice = f"invoice {purchase.invoice_number}" if purchase.invoice_number else "the purchase as recorded"
    return [Line("purchase", words, cost.purchase_minor, invoice, purchase.bought_on)]


def _cost_lines(instrument: Instrument) -> list[Line]:
    rows = instrument.cost_lines.select_related("recorded_by")[:MOST]
    return [
        Line(
            row.kind,
            row.note or row.get_kind_display(),
            row.amount_minor,
            f"entered by {_name(row.recorded_by)}",
            row.spent_on,
        )
        for row in rows
    ]


def _bench(kind: str, order: int, guaranteed: set[int]) -> str:
    """The kind of what the bench did: its own, or the guarantee where a call-back became that order."""
    return "guarantee" if order in guaranteed else kind


def _time(instrument: Instrument, guaranteed: set[int]) -> list[Line]:
    rows = (
        TimeSpent.objects.filter(item__order__instrument=instrument)
        .exclude(item__order__in=work_for_owners([instrument.pk]))
        .order_by()
        .values("item", "item__name", "item__order", "item__order__number")
        .annotate(cost=Sum("cost_minor"), taken=Sum("minutes"), last=Max("worked_on"))
        .order_by("last", "item")[:MOST]
    )
    return [
        Line(
            _bench("labour", row["item__order"], guaranteed),
            f"{row['item__name']}, {minutes_words(row['taken'])}",
            row["cost"],
            f"time at the bench, order {row['item__order__number']}",
            row["last"],
            reverse("workorders:order_page", args=[row["item__order__number"]]),
        )
        for row in rows
        if row["taken"]
    ]


def _parts(instrument: Instrument, guaranteed: set[int]) -> list[Line]:
    rows = (
        PartUsed.objects.filter(
            item__order__instrument=instrument, corrects__isnull=True, corrected_by__isnull=True
        )
        .exclude(cost_minor__isnull=True)
        .exclude(item__order__in=work_for_owners([instrument.pk]))
        .select_related("item__order")[:MOST]
    )
    return [
        Line(
            _bench("parts", row.item.order_id, guaranteed),
            str(row),
            row.cost_minor,
            f"used in {row.item.name}, order {row.item.order.number}",
            row.used_on,
            reverse("workorders:order_page", args=[row.item.order.number]),
        )
        for row in rows
    ]


def _bills(instrument: Instrument, guaranteed: set[int]) -> list[Line]:
    rows = OutsideBill.objects.filter(
        job__order__instrument=instrument, corrects__isnull=True, corrected_by__isnull=True
    ).exclude(job__order__in=work_for_owners([instrument.pk]))
    rows = rows.select_related("job__outworker")
    return [
        Line(
            _bench("outwork", row.job.order_id, guaranteed),
            f"{row.job.work}, {row.job.outworker}",
            row.amount_minor,
            f"bill for {row.job.number}",
            row.billed_on,
        )
        for row in rows[:MOST]
    ]


def _storage(cost: TrueCost) -> list[Line]:
    profile, stays = cost.terms.profile, stays_of(cost.on_file, cost.terms)
    free = profile.storage_free_weeks
    weeks = storage_weeks(stays, free_weeks=free)
    if not weeks or not profile.storage_week_minor:
        return []
    stood = sum(stay.days for stay in stays)
    less = f", the first {free} free" if free else ""
    words = f"{weeks} weeks at the rate of a week{less}"
    return [
        Line(
            "storage",
            words,
            weeks * profile.storage_week_minor,
            f"{stood} days in our places",
            stays[-1].until,
        )
    ]


def _reserve(cost: TrueCost) -> list[Line]:
    held = cost.spent["reserve"]
    if not held:
        return []
    months = cost.terms.profile.guarantee_months
    return [
        Line(
            "reserve",
            "Held until the guarantee ends, less what was spent under it",
            held,
            f"{months} months from the sale",
            cost.on_file.sale.sold_on,
        )
    ]


def _rest(lines: list[Line], cost: TrueCost) -> list[Line]:
    rest = cost.total_minor - sum(line.amount_minor for line in lines)
    return [Line("other", "Further lines", rest, "too many to show here")] if rest else []


def _name(user) -> str:
    return user.get_full_name() or user.get_username()
