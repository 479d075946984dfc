"""A piano taken in part exchange stays as it came while the buyer may still reject what it was allowed for.

Consumer Rights Act 2015, s. 20(12): on rejection the swapped item goes back in its original state; s. 22(3):
the short-term right ends 30 days after ownership, delivery and any agreed installation. Not legal advice.
"""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Exists, F, OuterRef, Q, QuerySet, Subquery
from django.db.models.functions import Coalesce, Greatest
from django.utils import timezone

from instruments.models import Instrument
from instruments.models.together import asking
from instruments.models.worded import ASKED, of_one
from instruments.problems import Blocker
from shop.calc.deadlines import REJECT_DAYS
from shop.models import HandedOver, Purchase, RepairAsked, Sale, SaleDelivery, UntouchedWaiver
from shop.rejecting import reject_limit
from workorders.models import WorkOrder
from workorders.order_rules import OrderRule


@dataclass(frozen=True)
class Kept:
    """Why it is kept as it came: the sale, and the last day; without one the buyer’s days have not begun."""

    sale: Sale
    until: date | None
    is_undone: bool
    repair_since: date | None = None


@asking
def kept_as_it_came(instrument: Instrument, *, on: date):
    """As `Kept`; None where it need not be."""
    purchases, waivers = yield _newest_purchase(instrument.pk), _waivers(instrument.pk)
    purchase = purchases.first()
    if purchase is None or purchase.allowed_against is None or waivers:
        return None
    promise = purchase.allowed_against
    until, repair_since = reject_limit(promise.sale)
    if promise.is_open and until and until < on:
        return None
    return Kept(promise.sale, until, is_undone=not promise.is_open, repair_since=repair_since)


@of_one
def _newest_purchase() -> QuerySet[Purchase]:
    rows = Purchase.objects.filter(instrument=ASKED)
    return rows.select_related("allowed_against__sale__from_trial")[:1]


@of_one
def _waivers() -> QuerySet:
    return UntouchedWaiver.objects.filter(instrument=ASKED).values_list("pk")[:1]


@asking
def untouched_problems(instrument: Instrument, *, on: date | None = None):
    """For work, offering, lending and selling."""
    kept = yield from kept_as_it_came.later(instrument, on=on or timezone.localdate())
    if kept is None:
        return []
    came = f"It came in part exchange against {kept.sale.number} and has to stay as it came"
    if kept.is_undone:
        why = f"{came}: that sale was undone, and its buyer gets it back."
    elif kept.repair_since:
        since = f"{kept.repair_since:%-d %B %Y}"
        why = f"{came}: the buyer’s days to reject stand still since they asked for a repair on {since}."
    elif kept.until is None:
        why = f"{came}: the buyer’s {REJECT_DAYS} days to reject begin when that is handed over. Note it."
    else:
        why = f"{came} until {kept.until:%-d %B %Y}, while the buyer may still reject that."
    return [Blocker(f"{why} The owner may waive it with a reason.", kept.sale.get_absolute_url())]


@asking
def order_problems(order: WorkOrder):
    return (yield from untouched_problems.later(order.instrument))


def orders_held_up(instruments: Collection[int] | None = None) -> QuerySet:
    """Keys of the open orders on such pianos. Sales repaired or set up are few, and looked at one by one."""
    on = timezone.localdate()
    handed = HandedOver.objects.filter(sale=OuterRef("allowed_against__sale")).order_by("-id")
    from_trial = Q(allowed_against__sale__from_trial__instrument=F("allowed_against__instrument"))
    held = Purchase.objects.filter(allowed_against__isnull=False, corrected_by__isnull=True)
    if instruments is not None:
        held = held.filter(instrument__in=instruments)
    held = held.annotate(handed=Subquery(handed.values("handed_over_on")[:1]))
    delivered = Coalesce("handed", "allowed_against__sale__from_trial__starts_on")
    free = Q(allowed_against__closed_at__isnull=True) & (Q(handed__isnull=False) | from_trial)
    held = held.annotate(begins=Greatest(delivered, "allowed_against__sale__sold_on"))
    plainly_over = free & Q(begins__lt=on - timedelta(days=REJECT_DAYS)) & ~_with_more_days()
    still = held.exclude(plainly_over).exclude(pk__in=_over_after_repairs(on, instruments))
    waived = UntouchedWaiver.objects.filter(instrument=OuterRef("instrument"))
    orders = WorkOrder.objects.open().filter(instrument__in=still.values("instrument"))
    orders = orders.exclude(Exists(waived))
    return orders.values_list("pk", flat=True)


def _with_more_days() -> Q:
    sale = {"sale": OuterRef("allowed_against__sale")}
    return Q(Exists(RepairAsked.objects.filter(**sale))) | Q(
        Exists(SaleDelivery.objects.filter(**sale, set_up_on__isnull=False))
    )


def _over_after_repairs(on: date, instruments: Collection[int] | None) -> list[int]:
    rows = Purchase.objects.filter(
        _with_more_days(), allowed_against__closed_at__isnull=True, allowed_against__isnull=False
    )
    rows = rows.order_by()  # by their number the database would go through all purchases
    if instruments is not None:
        rows = rows.filter(instrument__in=instruments)
    limits = {row.pk: reject_limit(row.allowed_against.sale)[0] for row in rows}
    return [pk for pk, limit in limits.items() if limit and limit < on]


AS_IT_CAME = OrderRule(order_problems, orders_held_up, "the days a part exchange stays as it came")


def part_exchanges_of(sale: Sale) -> list[Purchase]:
    """What was allowed against a sale, as it stands."""
    rows = sale.promise.part_exchanges.filter(corrected_by__isnull=True)
    return list(rows.select_related("instrument", "seller"))
