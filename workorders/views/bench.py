"""The bench: what one person can do now across all instruments, what is free, what waits for what."""

from dataclasses import dataclass

from django.contrib.auth.decorators import permission_required
from django.db.models import F, Prefetch, Q
from django.shortcuts import render
from django.views.decorators.http import require_GET

from workorders.models import WorkItem
from workorders.states import ItemState
from workorders.views.answers import today

SHOWN = 60


@dataclass(frozen=True)
class BenchLists:
    mine: list[WorkItem]
    free: list[WorkItem]
    waiting: list[WorkItem]
    more_free: int


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
    return BenchLists(
        mine=list(ready.filter(assigned_to=user).order_by(*soonest)[:SHOWN]),
        free=list(free.order_by(*soonest)[:SHOWN]),
        waiting=list(waiting.order_by(*soonest)[:SHOWN]),
        more_free=max(0, free.count() - SHOWN),
    )
