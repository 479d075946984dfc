"""The bench: what one person can do now across all instruments, what is free, what waits for what."""

from dataclasses import dataclass

from django.contrib.auth.decorators import permission_required
from django.db.models import F, Prefetch, Q
from django.shortcuts import render
from django.views.decorators.http import require_GET

from workorders.models import WorkItem, WorkOrder
from workorders.states import ItemState
from workorders.views.answers import today

SHOWN = 60


@dataclass(frozen=True)
class OpenElsewhere:
    """What is open in the shop while nothing of it lies on this bench."""

    orders: int
    waiting: int
    with_others: int

    @property
    def sentence(self) -> str:
        orders = "One order is open" if self.orders == 1 else f"{self.orders} orders are open"
        things = []
        if self.with_others:
            things.append(f"{self.with_others} {'is' if self.with_others == 1 else 'are'} with somebody else")
        if self.waiting:
            things.append(f"{self.waiting} {'waits' if self.waiting == 1 else 'wait'} for something else")
        if not things:
            return f"{orders}, with nothing left in {'it' if self.orders == 1 else 'them'} to be done."
        return f"{orders}. Of what is to be done, {' and '.join(things)}."


@dataclass(frozen=True)
class BenchLists:
    mine: list[WorkItem]
    free: list[WorkItem]
    waiting: list[WorkItem]
    more_free: int
    elsewhere: OpenElsewhere | None = None


@require_GET
@permission_required("workorders.do_work", raise_exception=True)
def bench(request):
    return render(request, "workorders/bench.html", {"lists": bench_lists(request.user), "today": today()})


def bench_lists(user) -> BenchLists:
    """What is wanted first stands first; every list is bounded."""
    ready = WorkItem.objects.can_be_done_now().select_related("order__instrument")
    soonest = (F("order__due_on").asc(nulls_last=True), "order_id", "rank", "id")
    free = ready.filter(assigned_to__isnull=True)
    open_needs = WorkItem.objects.filter(state=ItemState.OPEN).select_related("order").order_by("rank", "id")
    waiting = (
        WorkItem.objects.waiting()
        .filter(Q(assigned_to=user) | Q(assigned_to__isnull=True))
        .select_related("order__instrument")
        .prefetch_related(Prefetch("needs", open_needs, to_attr="open_needs"))
    )
    mine = list(ready.filter(assigned_to=user).order_by(*soonest)[:SHOWN])
    shown_free = list(free.order_by(*soonest)[:SHOWN])
    return BenchLists(
        mine=mine,
        free=shown_free,
        waiting=list(waiting.order_by(*soonest)[:SHOWN]),
        more_free=max(0, free.count() - SHOWN),
        elsewhere=None if mine or shown_free else open_elsewhere(user),
    )


def open_elsewhere(user) -> OpenElsewhere:
    ready = WorkItem.objects.can_be_done_now().filter(assigned_to__isnull=False)
    return OpenElsewhere(
        orders=WorkOrder.objects.open().count(),
        waiting=WorkItem.objects.waiting().count(),
        with_others=ready.exclude(assigned_to=user).count(),
    )
