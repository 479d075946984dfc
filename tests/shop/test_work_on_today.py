"""What Today asks of the bench, so that a full shop costs no more, held against the plain way to ask it."""

from datetime import timedelta
from random import Random

import pytest
from django.db import connection
from django.db.models import Exists, F, OuterRef, Q

from shop.waiting import _nearly_ready, orders_nearly_ready
from shop.waiting_lines import MOST
from tests import make
from workorders.models import WorkItem, WorkOrder
from workorders.planning import _needed_by, _open_items
from workorders.states import ItemState

pytestmark = [pytest.mark.django_db, pytest.mark.both]

ON = make.A_DAY
CLOSED = {"closed_at": "2026-03-21T10:00Z", "result": "Done."}


def work_of(chance: Random, *, orders: int) -> None:
    """Orders of which some are wanted by a day and some are closed; an item may wait for one of another."""
    by, items = make.somebody(), []
    pianos = [make.make_instrument() for _ in range(orders // 2 + 1)]
    for number in range(orders):
        order = make.make_order(
            title=f"Order {number}",
            instrument=chance.choice(pianos),
            due_on=chance.choice((None, None, ON, ON + timedelta(days=9))),
        )
        for _ in range(chance.randrange(5)):
            is_closed = chance.random() < 0.6
            items.append(
                make.make_item(
                    order=order,
                    is_required=chance.random() < 0.7,
                    rank=chance.randrange(30),
                    needs=[] if is_closed else chance.sample(items, min(len(items), chance.randrange(3))),
                    state=chance.choice((ItemState.DONE, ItemState.LEFT)) if is_closed else ItemState.OPEN,
                    **(CLOSED | {"closed_by": by} if is_closed else {}),
                )
            )
        if chance.random() < 0.3 and not order.items.filter(state=ItemState.OPEN, is_required=True).exists():
            gone = {"state": "ready", "closed_at": CLOSED["closed_at"], "closed_by": by}
            WorkOrder.objects.filter(pk=order.pk).update(**gone)


def nearly_ready_of_all() -> list[WorkOrder]:
    of_it = WorkItem.objects.filter(order=OuterRef("pk")).order_by()
    closed = of_it.exclude(state=ItemState.OPEN)
    still_open = of_it.filter(state=ItemState.OPEN, is_required=True)
    return list(WorkOrder.objects.open().filter(Exists(closed), ~Exists(still_open))[:MOST])


def open_items_of_all(wanted_until) -> list[WorkItem]:
    """Each open item is held against what is wanted, one after the other."""
    wanted = WorkOrder.objects.open().filter(due_on__lte=wanted_until).order_by()
    of_theirs = Q(order__instrument__in=wanted.values("instrument"))
    wanted_first = (F("order__due_on").asc(nulls_last=True), "order_id", "rank", "id")
    rows = WorkItem.objects.open().filter(of_theirs | Q(pk__in=_needed_by(wanted)))
    return list(rows.order_by(*wanted_first))


@pytest.mark.parametrize("seed", range(6))
def test_the_work_on_today_is_what_the_plain_way_finds(seed):
    chance = Random(seed)
    work_of(chance, orders=chance.choice((3, 10, 25)))
    lines = [line.url for line in orders_nearly_ready().lines]
    assert lines == [order.get_absolute_url() for order in nearly_ready_of_all()]
    for until in (ON - timedelta(days=1), ON, ON + timedelta(days=20)):
        assert list(_open_items(until)) == open_items_of_all(until)


@pytest.mark.skipif(connection.vendor != "sqlite", reason="PostgreSQL looks whether an index is worth it")
def test_of_an_open_order_only_what_is_still_required_is_looked_up():
    asked = _nearly_ready("sqlite")
    with connection.cursor() as cursor:
        cursor.execute(f"EXPLAIN QUERY PLAN {asked.sql}", asked.parameters)
        steps = [step for *_, step in cursor.fetchall()]
    assert any("USING COVERING INDEX work_item_still_required" in step for step in steps), steps
