"""Whatever is linked, closed, left or reopened: nothing is ever closed on top of something open."""

import pytest
from django.db import transaction
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from instruments.problems import Blocked
from tests import make
from workorders.actions.items import close_item, leave_item, link_need, reopen_item, unlink_need
from workorders.actions.orders import close_order, give_up_order, reopen_order
from workorders.calc.sequence import circle_in
from workorders.models import WorkItem, WorkOrder
from workorders.problems import needs_on_instrument
from workorders.states import ItemState, OrderState

ITEMS = 5
ACTS = st.tuples(
    st.sampled_from(
        ["close", "close", "link", "link", "unlink", "leave", "reopen", "ready", "give up", "take up"]
    ),
    st.integers(0, ITEMS - 1),
    st.integers(0, ITEMS - 1),
    st.booleans(),
)


@pytest.mark.django_db
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(acts=st.lists(ACTS, max_size=25))
def test_no_sequence_of_acts_closes_an_item_with_an_open_prerequisite(acts, technician, owner):
    with transaction.atomic():
        items = a_bench()
        for act, one, other, by_owner in acts:
            try:
                with transaction.atomic():  # so that the bench stands after what was refused
                    do(act, items[one], items[other], owner if by_owner else technician)
            except Blocked:
                continue
            assert_sound(items[0].order.instrument)
        transaction.set_rollback(True)


def a_bench() -> list[WorkItem]:
    instrument = make.make_instrument()
    orders = [make.make_order(instrument=instrument), make.make_order(instrument=instrument)]
    return [
        make.make_item(order=orders[place % 2], name=f"Item {place}", is_required=bool(place % 3))
        for place in range(ITEMS)
    ]


def do(act, item, other, by):
    order = WorkOrder.objects.get(pk=item.order_id)
    reason = {"reason": "Because.", "by": by, "on": make.A_DAY}
    match act:
        case "close":
            close_item(item=item, result="Done.", by=by, on=make.A_DAY)
        case "link":
            link_need(item=item, need=other, by=by)
        case "unlink":
            unlink_need(item=item, need=other, by=by)
        case "leave":
            leave_item(item=item, **reason)
        case "reopen":
            reopen_item(item=item, **reason)
        case "ready":
            close_order(order=order, by=by, on=make.A_DAY)
        case "give up":
            give_up_order(order=order, **reason)
        case "take up":
            reopen_order(order=order, **reason)


def assert_sound(instrument):
    on_it = WorkItem.objects.filter(order__instrument=instrument)
    assert not on_it.filter(state=ItemState.DONE, needs__state=ItemState.OPEN).exists()
    assert not on_it.filter(state=ItemState.OPEN).exclude(order__state=OrderState.OPEN).exists()
    ready = on_it.filter(order__state=OrderState.READY, is_required=True)
    assert not ready.filter(state=ItemState.OPEN).exists()
    assert circle_in(needs_on_instrument(instrument.pk)) == ()
