"""What lies on one person's bench: the timer that runs, what can be done now, what is free, what waits."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db.models import F, Prefetch, Q

from workorders.actions.timers import running_timer
from workorders.models import BenchTimer, TimeSpent, WorkItem, WorkOrder, WorkProposal
from workorders.order_rules import waiting_words
from workorders.outside_problems import waited_for_outside
from workorders.states import ItemState
from workorders.steps import sum_of

SHOWN = 60
OTHERS_SHOWN = 12
PROPOSALS_SHOWN = 5
PROPOSALS_FOR = timedelta(days=30)
THE_STRUCTURE = "the structure"  # all that is left: it has no word of its own


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
class AtWork:
    """The timer that runs, as it stands at one moment."""

    timer: BenchTimer
    now: datetime
    minutes_before: int

    @property
    def item(self) -> WorkItem:
        return self.timer.item

    @property
    def minutes(self) -> int:
        return self.timer.minutes_at(self.now)

    @property
    def seconds(self) -> int:
        return max(0, int((self.now - self.timer.started_at).total_seconds()))

    @property
    def is_forgotten(self) -> bool:
        return self.timer.is_forgotten_at(self.now)


@dataclass(frozen=True)
class BenchLists:
    mine: list[WorkItem]
    free: list[WorkItem]
    waiting: list[WorkItem]
    found: list[WorkProposal]
    more_mine: int = 0
    more_free: int = 0
    more_waiting: int = 0
    at_work: AtWork | None = None
    elsewhere: OpenElsewhere | None = None

    @property
    def items(self) -> list[WorkItem]:
        """What can be done now, in the order of the page."""
        return [*([self.at_work.item] if self.at_work else []), *self.mine, *self.free]


def bench_lists(user, *, now: datetime) -> BenchLists:
    """What is wanted first stands first; every list is bounded."""
    timer = running_timer(user)
    ready = WorkItem.objects.can_be_done_now().exclude(pk=timer.item_id if timer else 0)
    ready = ready.select_related("order__instrument").annotate(minutes_spent=sum_of(TimeSpent, "minutes"))
    mine, more_mine = _bounded(ready.filter(assigned_to=user), SHOWN)
    free, more_free = _bounded(ready.filter(assigned_to__isnull=True), OTHERS_SHOWN)
    waiting, more_waiting = _bounded(_waiting(user), OTHERS_SHOWN)
    _tell_what_they_wait_for(waiting)
    return BenchLists(
        mine=mine,
        free=free,
        waiting=waiting,
        found=list(_found_by(user, now)),
        more_mine=more_mine,
        more_free=more_free,
        more_waiting=more_waiting,
        at_work=_at_work(timer, now) if timer else None,
        elsewhere=None if timer or mine or free else open_elsewhere(user),
    )


def _bounded(items, most: int) -> tuple[list[WorkItem], int]:
    soonest = (F("order__due_on").asc(nulls_last=True), "order_id", "rank", "id")
    return list(items.order_by(*soonest)[:most]), max(0, items.count() - most)


def _waiting(user):
    open_needs = WorkItem.objects.filter(state=ItemState.OPEN).select_related("order").order_by("rank", "id")
    return (
        WorkItem.objects.waiting()
        .filter(Q(assigned_to=user) | Q(assigned_to__isnull=True))
        .select_related("order__instrument")
        .prefetch_related(Prefetch("needs", open_needs, to_attr="open_needs"))
    )


def _tell_what_they_wait_for(items: list[WorkItem]) -> None:
    """In `waits_for` of each, the names of what must come first and what its order waits for."""
    held = waiting_words({item.order for item in items})
    outside = waited_for_outside(items)
    for item in items:
        names = [
            need.name if need.order_id == item.order_id else f"{need.name} ({need.order.number})"
            for need in item.open_needs
        ]
        words = [*names, *held.get(item.order_id, ()), *outside.get(item.pk, ())]
        item.waits_for = words or [THE_STRUCTURE]


def _found_by(user, now: datetime) -> Iterable[WorkProposal]:
    """What this person has put to the owner of late, the newest first."""
    lately = Q(recorded_at__gte=now - PROPOSALS_FOR) | Q(answer__isnull=True)
    proposals = WorkProposal.objects.told().filter(lately, proposed_by=user)
    return proposals.order_by("-id")[:PROPOSALS_SHOWN]


def _at_work(timer: BenchTimer, now: datetime) -> AtWork:
    before = timer.item.times.values_list("minutes", flat=True)
    return AtWork(timer, now, sum(before))


def open_elsewhere(user) -> OpenElsewhere:
    ready = WorkItem.objects.can_be_done_now().filter(assigned_to__isnull=False)
    return OpenElsewhere(
        orders=WorkOrder.objects.open().count(),
        waiting=WorkItem.objects.waiting().count(),
        with_others=ready.exclude(assigned_to=user).count(),
    )
