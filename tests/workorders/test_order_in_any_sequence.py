"""Whatever is done to the orders of one piano, in whatever sequence: the order of work holds, and it adds up.

Beside the database stands a plain model: the state of each item, and what each line of time and parts cost.
What is refused undoes its act whole; each has a savepoint before it, so that the walk goes on after it.
"""

from decimal import Decimal
from fractions import Fraction
from itertools import chain
from math import floor

import pytest
from django.db import transaction
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from instruments.problems import Blocked
from tests import make
from workorders.actions.bench import log_time, set_rate, take_back_part, take_back_time, use_part
from workorders.actions.items import close_item, leave_item, link_need, reopen_item
from workorders.actions.orders import add_items, close_order, give_up_order, open_order, reopen_order
from workorders.costs import bench_cost_of
from workorders.models import Task, WorkItem, WorkOrder

pytestmark = [pytest.mark.django_db, pytest.mark.both]

ON = make.A_DAY
# code, rank, what it needs, how it closes: lubrication before touch weight, plank before polish
LIBRARY = (
    ("clean-out", 20, (), "note"),
    ("test-pins", 32, ("clean-out",), "figure"),
    ("lubricate-action", 95, ("clean-out",), "note"),
    ("set-touch-weight", 130, ("lubricate-action",), "figure"),
    ("french-polish", 165, ("test-pins",), "note"),
)
CONCERNS = {"test-pins": "structure", "french-polish": "looks"}
LIMITS = {"figure_name": "reading", "figure_unit": "N·m", "figure_low": 5, "figure_high": 9}
FIGURES = st.sampled_from([None, "4.9", "5", "7", "9", "9.1"])
PICK = st.integers(0, 30)


class Bench(RuleBasedStateMachine):
    def __init__(self):
        super().__init__()
        self.transaction = transaction.atomic()
        self.transaction.__enter__()
        self.owner = make.somebody()
        self.hand = self.technician
        self.tasks = [_task(*row) for row in LIBRARY]
        self.instrument = make.make_instrument(by=self.owner)
        self.orders: dict[int, str] = {}
        self.items: dict[int, str] = {}
        self.left_by: dict[int, set[int]] = {}
        self.times, self.parts = [], []
        self.rate, self.minutes, self.labour, self.cost = None, 0, 0, 0
        for task in self.tasks:
            self._open([task])

    def teardown(self):
        transaction.set_rollback(True)
        self.transaction.__exit__(None, None, None)

    def _open(self, tasks):
        order = open_order(instrument=self.instrument, title="Work", tasks=tasks, by=self.owner, on=ON)
        self.orders[order.pk] = "open"
        self.left_by[order.pk] = set()
        self._take_in(order)

    def _take_in(self, order):
        for pk in order.items.values_list("pk", flat=True):
            self.items.setdefault(pk, "open")

    def _order(self, pick):
        return WorkOrder.objects.get(pk=list(self.orders)[pick % len(self.orders)])

    def _item(self, pick):
        return WorkItem.objects.get(pk=list(self.items)[pick % len(self.items)])

    def _states_of(self, rows):
        return [self.items[row.pk] for row in rows]

    @rule(which=PICK, chosen=st.sets(st.sampled_from(range(len(LIBRARY))), min_size=1))
    def add(self, which, chosen):
        order = self._order(which)
        try:
            with transaction.atomic():
                add_items(order=order, tasks=[self.tasks[place] for place in chosen], by=self.owner, on=ON)
        except Blocked:
            return
        assert self.orders[order.pk] == "open"
        self._take_in(order)

    @rule(which=PICK, other=PICK)
    def link(self, which, other):
        item, need = self._item(which), self._item(other)
        before = set(item.needs.values_list("pk", flat=True))
        try:
            with transaction.atomic():
                link_need(item=item, need=need, by=self.owner)
        except Blocked:
            assert set(item.needs.values_list("pk", flat=True)) == before
            return
        assert self.items[item.pk] == "open" and self.items[need.pk] != "left" and item.pk != need.pk

    @rule(which=PICK, figure=FIGURES, by_owner=st.booleans(), reason=st.sampled_from(["", "Agreed."]))
    def finish(self, which, figure, by_owner, reason):
        item = self._item(which)
        by = self.owner if by_owner else self.hand
        shown = figure and Decimal(figure)
        proven = item.acceptance == "note" or (shown is not None and 5 <= shown <= 9)
        may_begin = (
            self.items[item.pk] == "open"
            and self.orders[item.order_id] == "open"
            and "open" not in self._states_of(item.needs.all())
            and not self._structure_is_in_the_way(item)
        )
        expected = may_begin and (proven or (by_owner and bool(reason)))
        try:
            with transaction.atomic():
                close_item(item=item, by=by, on=ON, result="Done.", figure=shown, override_reason=reason)
        except Blocked:
            assert not expected
            return
        assert expected
        self.items[item.pk] = "done"
        closed = WorkItem.objects.get(pk=item.pk)
        assert bool(closed.override_reason) == bool(closed.stated_limit) == (not proven)

    def _structure_is_in_the_way(self, item):
        """Of the plank's items the newest counts that was not given up: open, left, or accepted unproven."""
        if item.concern != "looks":
            return False
        standing = [
            plank
            for plank in WorkItem.objects.filter(concern="structure").order_by("pk")
            if self.orders[plank.order_id] != "abandoned"
        ]
        return bool(standing) and (
            self.items[standing[-1].pk] in {"open", "left"} or bool(standing[-1].override_reason)
        )

    @rule(which=PICK, by_owner=st.booleans())
    def leave(self, which, by_owner):
        item = self._item(which)
        waiting = [row for row in item.needed_by.all() if self.items[row.pk] == "open"]
        open_now = self.items[item.pk] == "open"
        try:
            with transaction.atomic():
                leave_item(item=item, reason="Not worth it.", by=self.owner if by_owner else self.hand, on=ON)
        except Blocked:
            assert not open_now or not by_owner
            return
        assert open_now and (by_owner or not (item.is_required or waiting))
        self.items[item.pk] = "left"

    @rule(which=PICK)
    def reopen(self, which):
        item = self._item(which)
        under = "done" in self._states_of(item.needed_by.all())
        can = self.items[item.pk] != "open" and self.orders[item.order_id] == "open" and not under
        try:
            with transaction.atomic():
                reopen_item(item=item, reason="Again.", by=self.owner, on=ON)
        except Blocked:
            assert not can
            return
        assert can
        self.items[item.pk] = "open"

    @rule(which=PICK, how=st.sampled_from(["ready", "abandoned"]))
    def close_or_give_up(self, which, how):
        order = self._order(which)
        still_open = [row for row in order.items.all() if self.items[row.pk] == "open"]
        try:
            with transaction.atomic():
                if how == "ready":
                    close_order(order=order, by=self.owner, on=ON)
                else:
                    give_up_order(order=order, reason="Sold.", by=self.owner, on=ON)
        except Blocked:
            assert self.orders[order.pk] != "open" or (how == "ready" and still_open)
            return
        assert self.orders[order.pk] == "open"
        assert how == "abandoned" or not any(row.is_required for row in still_open)
        self.orders[order.pk], self.left_by[order.pk] = how, {row.pk for row in still_open}
        self.items |= dict.fromkeys(self.left_by[order.pk], "left")

    @rule(which=PICK)
    def take_up_again(self, which):
        order = self._order(which)
        try:
            with transaction.atomic():
                reopen_order(order=order, reason="Again.", by=self.owner, on=ON)
        except Blocked:
            assert self.orders[order.pk] == "open"
            return
        assert self.orders[order.pk] != "open"
        self.orders[order.pk] = "open"
        for pk in self.left_by[order.pk]:
            if "done" not in self._states_of(WorkItem.objects.filter(needs=pk)):
                self.items[pk] = "open"

    @rule(rate=st.integers(1, 9_999))
    def set_a_rate(self, rate):
        set_rate(per_hour_minor=rate, since=ON, by=self.owner)
        self.rate = rate

    @rule(which=PICK, minutes=st.integers(-1, 1_500))
    def spend(self, which, minutes):
        try:
            with transaction.atomic():
                entry = log_time(
                    item=self._item(which), person=self.hand, minutes=minutes, by=self.hand, on=ON
                )
        except Blocked:
            assert not 0 < minutes <= 1_440
            return
        # Half a penny goes up: VATREC12030's rule for rounding, used for labour alike.
        cost = floor(Fraction(minutes * self.rate, 60) + Fraction(1, 2)) if self.rate else 0
        self.times.append((entry, minutes, cost))
        self.minutes, self.labour = self.minutes + minutes, self.labour + cost

    @rule(which=PICK, cost=st.none() | st.integers(0, 50_000), quantity=st.sampled_from(["0", "0.5", "3"]))
    def use(self, which, cost, quantity):
        try:
            with transaction.atomic():
                entry = use_part(
                    item=self._item(which),
                    name="Felt",
                    quantity=Decimal(quantity),
                    cost_minor=cost,
                    by=self.hand,
                    on=ON,
                )
        except Blocked:
            assert quantity == "0"
            return
        self.parts.append((entry, cost or 0))
        self.cost += cost or 0

    @precondition(lambda self: self.times)
    @rule(which=PICK, again=st.booleans())
    def take_time_back(self, which, again):
        entry, minutes, cost = self.times.pop(which % len(self.times))
        take_back_time(entry=entry, by=self.hand)
        self.minutes, self.labour = self.minutes - minutes, self.labour - cost
        if again:
            with pytest.raises(Blocked), transaction.atomic():
                take_back_time(entry=entry, by=self.hand)

    @precondition(lambda self: self.parts)
    @rule(which=PICK)
    def take_part_back(self, which):
        entry, cost = self.parts.pop(which % len(self.parts))
        take_back_part(entry=entry, by=self.hand)
        self.cost -= cost

    @invariant()
    def the_database_says_what_the_model_says(self):
        assert dict(WorkItem.objects.values_list("pk", "state")) == self.items
        assert dict(WorkOrder.objects.values_list("pk", "state")) == self.orders

    @invariant()
    def nothing_is_done_before_what_must_come_first(self):
        assert not WorkItem.objects.filter(state="done", needs__state="open").exists()

    @invariant()
    def no_order_is_ready_over_required_work(self):
        assert not WorkItem.objects.filter(state="open", is_required=True, order__state="ready").exists()

    @invariant()
    def it_adds_up(self):
        cost = bench_cost_of(self.instrument)
        assert (cost.minutes, cost.labour_minor, cost.parts_minor) == (self.minutes, self.labour, self.cost)


def test_no_sequence_breaks_the_order_of_work_or_the_sums(owner, technician):
    Bench.technician = technician
    run_state_machine_as_test(
        Bench, settings=settings(max_examples=12, stateful_step_count=25, deadline=None)
    )


def _task(code, rank, needs, acceptance):
    limits = LIMITS if acceptance == "figure" else {}
    concern = CONCERNS.get(code, "work")
    task = make.make_task(code=code, name=code, rank=rank, acceptance=acceptance, concern=concern, **limits)
    task.needs.set(Task.objects.filter(code__in=chain(needs)))
    return task
