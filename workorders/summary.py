"""The work of one instrument: for its page as steps, for its listing as what was done and what was left."""

from dataclasses import dataclass, field
from datetime import date

from django.db.models import Exists, OuterRef
from django.utils import timezone

from instruments.models.together import alongside, asking
from workorders.costs import BenchCost, bench_cost_of
from workorders.models import OutsideJob, WorkItem, WorkOrder
from workorders.states import ItemState, OrderState
from workorders.steps import OrderSteps, Step, steps_of

CLOSED_ORDERS_SHOWN = 10
OUTSIDE_SHOWN = 10


@dataclass(frozen=True)
class Work:
    """All the work of one instrument, for its page."""

    open_orders: tuple[OrderSteps, ...] = ()
    closed_orders: tuple[OrderSteps, ...] = ()
    cost: BenchCost = field(default_factory=BenchCost)
    outside: tuple[OutsideJob, ...] = ()

    @property
    def next_step(self) -> Step | None:
        return next((order.next_step for order in self.open_orders if order.next_step), None)

    @property
    def first_waiting(self) -> Step | None:
        return next((step for order in self.open_orders for step in order.steps if step.waits_for), None)


@asking
def work_summary(instrument):
    """The `Work` of an instrument in a fixed number of queries; of closed orders the newest few."""
    orders = WorkOrder.objects.filter(instrument=instrument).select_related("instrument", "closed_by")
    outside = OutsideJob.objects.filter(order__instrument=instrument)
    open_orders, closed_orders, outside = yield (
        orders.open().order_by("id"),
        orders.closed()[:CLOSED_ORDERS_SHOWN],
        outside.open().select_related("outworker").order_by("id")[:OUTSIDE_SHOWN],
    )
    steps, cost = yield from alongside(
        steps_of.later([*open_orders, *closed_orders]), bench_cost_of.later(instrument)
    )
    return Work(
        open_orders=tuple(steps[order.pk] for order in open_orders),
        closed_orders=tuple(steps[order.pk] for order in closed_orders),
        cost=cost,
        outside=tuple(outside),
    )


@dataclass(frozen=True)
class DoneWork:
    name: str
    result: str
    measured: str
    closed_on: date
    by_name: str
    limit: str = ""  # as it is told to a buyer; the shop's own reason is not in it
    pk: int = 0


@dataclass(frozen=True)
class LeftWork:
    """Work that is still open, or was decided against with a reason."""

    name: str
    reason: str
    is_required: bool
    is_open: bool
    pk: int = 0


def work_done_on(instrument) -> list[DoneWork]:
    items = (
        WorkItem.objects.filter(order__instrument=instrument)
        .done()
        .select_related("closed_by", "weighing")
        .order_by("closed_at", "rank", "id")
    )
    return [
        DoneWork(
            name=item.name,
            result=item.result,
            measured=item.measured,
            closed_on=timezone.localdate(item.closed_at),
            by_name=item.closed_by.get_full_name() or item.closed_by.get_username(),
            limit=_limit_of(item),
            pk=item.pk,
        )
        for item in items
    ]


def work_left_on(instrument) -> list[LeftWork]:
    """Open items, and items left as they are and not taken up again since.

    What was given up with its whole order is not told: that was a change of plan, not a fault left standing.
    """
    taken_up_again = WorkItem.objects.filter(
        order__instrument=instrument, task=OuterRef("task"), pk__gt=OuterRef("pk")
    )
    items = (
        WorkItem.objects.filter(order__instrument=instrument)
        .exclude(state=ItemState.DONE)
        .exclude(order__state=OrderState.ABANDONED)
        .exclude(Exists(taken_up_again), state=ItemState.LEFT)
        .order_by("rank", "id")
    )
    return [
        LeftWork(
            name=item.name,
            reason="still to do" if item.is_open else item.result,
            is_required=item.is_required,
            is_open=item.is_open,
            pk=item.pk,
        )
        for item in items
    ]


@dataclass(frozen=True)
class StatedLimit:
    """What a buyer is told of work accepted without its proof, or left although it was required.

    `reason` is what the owner said for the public, apart, so that it can be left out where it names somebody.
    """

    sentence: str
    reason: str = ""


def stated_limits_of(instrument) -> list[StatedLimit]:
    """Printed from the record; work done over again with its proof takes a limit away."""
    done_again = WorkItem.objects.filter(
        order__instrument=instrument,
        task=OuterRef("task"),
        pk__gt=OuterRef("pk"),
        state=ItemState.DONE,
        override_reason="",
    )
    items = WorkItem.objects.filter(order__instrument=instrument).exclude(Exists(done_again))
    accepted = items.done().exclude(override_reason="").order_by("closed_at", "id")
    left = items.filter(state=ItemState.LEFT, is_required=True).exclude(order__state=OrderState.ABANDONED)
    return [
        *(StatedLimit(item.limit_sentence, item.override_public) for item in accepted),
        *(StatedLimit(f"{item.name}: asked for, and left as it is.") for item in left.order_by("rank", "id")),
    ]


def _limit_of(item: WorkItem) -> str:
    """The limit as it stands behind the name of the work, in one clause."""
    if not item.override_reason:
        return ""
    begun = f"{item.name}: accepted by the shop "
    return item.limit_sentence.removeprefix(f"{begun}without the proof it asks for. ").removeprefix(begun)
