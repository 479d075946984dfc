"""What does not move, since when and why: nobody took it up, it is outside, an answer is waited for."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Max, Q
from django.utils import timezone

from workorders.models import TimeSpent, WorkItem, WorkOrder, WorkProposal
from workorders.planning import ShopPlan, item_key
from workorders.states import OrderState

QUIET_DAYS = 14
PROPOSALS_READ = 100


@dataclass(frozen=True)
class Stuck:
    order: WorkOrder
    since: date
    on: date
    why: str
    url: str = ""

    @property
    def days(self) -> int:
        return (self.on - self.since).days


def stuck_work(shop: ShopPlan, orders: list[WorkOrder]) -> list[Stuck]:
    """Longest first: what waits for others, and orders that nothing happened to for a fortnight."""
    found = [
        *_outside(shop),
        *_unanswered(shop, {order.pk for order in orders}),
        *_not_agreed(shop, orders),
        *_untouched(shop, orders),
    ]
    return sorted(found, key=lambda each: (each.since, each.order.pk))


def _outside(shop: ShopPlan) -> Iterator[Stuck]:
    for job in shop.outside.values():
        what = job.get_kind_display()
        if job.is_under_way:
            why = f"{what} {job.under_way_words(shop.on)}"
        else:
            why = f"{what}: {job.outworker} was asked and has not got it yet"
        yield Stuck(job.order, job.sent_on or job.asked_on, shop.on, why)


def _unanswered(shop: ShopPlan, keys: set[int]) -> Iterator[Stuck]:
    proposals = WorkProposal.objects.waiting().filter(item__order__state=OrderState.OPEN)
    for each in proposals.select_related("item__order__instrument", "finding")[:PROPOSALS_READ]:
        if each.item.order_id in keys:
            why = f"the owner has not answered: {each}"
            yield Stuck(each.item.order, each.proposed_on, shop.on, why, each.get_absolute_url())


def _not_agreed(shop: ShopPlan, orders: list[WorkOrder]) -> Iterator[Stuck]:
    for order in orders:
        if waits := shop.held.get(order.pk):
            yield Stuck(order, order.opened_on, shop.on, f"waits for {' and '.join(waits)}")


def _untouched(shop: ShopPlan, orders: list[WorkOrder]) -> Iterator[Stuck]:
    """Orders with something that could be done, or all of it done, and no time or closing for a fortnight."""
    moved = _last_moved(orders)
    for order in orders:
        since = max(filter(None, [order.opened_on, *moved.get(order.pk, ())]))
        if shop.on - since < timedelta(days=QUIET_DAYS) or order.pk in shop.held:
            continue
        own = [item for item in shop.items.values() if item.order_id == order.pk]
        ready = [item for item in own if not shop.needs[item_key(item)]]
        if ready:
            yield Stuck(order, since, shop.on, _ready_words(ready, shop), ready[0].get_absolute_url())
        elif not shop.required_of(order):
            yield Stuck(
                order, since, shop.on, "nothing required is open; call it ready, add work or give it up"
            )


def _ready_words(ready: list[WorkItem], shop: ShopPlan) -> str:
    first, more = ready[0], len(ready) - 1
    others = f" and {more} more" if more else ""
    named = f"“{first.name}”{others} could be done"
    if first.assigned_to_id is None:
        return f"{named}; nobody has taken it"
    who = shop.name_of(first.assigned_to_id)
    if first.assigned_to_id not in shop.benches:
        return f"{named}; {who} has it, and no hours at the bench"
    return f"{named}; {who} has it"


def _last_moved(orders: list[WorkOrder]) -> dict[int, list[date | None]]:
    keys = [order.pk for order in orders]
    times = TimeSpent.objects.filter(item__order__in=keys).order_by().values("item__order")
    moved = {row["item__order"]: [row["last"]] for row in times.annotate(last=Max("worked_on"))}
    closings = WorkItem.objects.filter(Q(order__in=keys), closed_at__isnull=False).order_by().values("order")
    for row in closings.annotate(last=Max("closed_at")):
        moved.setdefault(row["order"], []).append(timezone.localdate(row["last"]))
    return moved
