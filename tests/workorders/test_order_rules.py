"""Rules that another app lays down for an order, and a touch of the order's own."""

from decimal import Decimal

import pytest
from django.db import IntegrityError
from django.urls import reverse

from instruments.drawings.touch_chart import Curve
from instruments.models.together import asking
from instruments.problems import Blocked, Blocker
from tests.make import A_DAY, make_instrument, make_item, make_order, make_weighing
from workorders.acceptance import acceptance_problems
from workorders.actions.items import close_item
from workorders.actions.orders import close_order
from workorders.actions.touch import aim_order
from workorders.models import WorkItem, WorkOrder
from workorders.order_rules import RULES, OrderRule, register_order_rule
from workorders.states import Acceptance

pytestmark = pytest.mark.django_db


@asking
def not_agreed(order):
    yield ()
    return [Blocker("Nobody has agreed to it yet.")] if order.title == "Unagreed" else []


@pytest.fixture
def agreed_only():
    """A rule for the time of one test: orders titled “Unagreed” may not begin."""
    rule = OrderRule(
        problems=not_agreed,
        held_up=lambda **_: WorkOrder.objects.filter(title="Unagreed").values_list("pk", flat=True),
        waits_for="somebody’s word",
    )
    register_order_rule(rule)
    register_order_rule(rule)
    yield
    RULES.remove(rule)


def test_an_order_held_up_closes_no_item_and_is_never_ready(owner, agreed_only):
    item = make_item(order=make_order(title="Unagreed"), is_required=False)
    with pytest.raises(Blocked) as refused:
        close_item(item=item, result="Done", by=owner, on=A_DAY)
    assert refused.value.sentences == ["Nobody has agreed to it yet."]
    with pytest.raises(Blocked, match="agreed"):
        close_order(order=item.order, by=owner, on=A_DAY)


def test_its_items_wait_and_the_others_do_not(owner, agreed_only):
    held, free = make_item(order=make_order(title="Unagreed")), make_item()
    assert list(WorkItem.objects.can_be_done_now()) == [free]
    assert list(WorkItem.objects.waiting()) == [held]


def test_the_order_and_its_items_say_what_they_wait_for(client, owner, agreed_only):
    item = make_item(order=make_order(title="Unagreed"))
    client.force_login(owner)
    order_page = client.get(item.order.get_absolute_url()).content.decode()
    assert "waits for somebody’s word" in order_page
    assert "Nobody has agreed to it yet." in order_page
    for address in ("item_page", "item_close"):
        page = client.get(reverse(f"workorders:{address}", args=[item.pk])).content.decode()
        assert "Nobody has agreed to it yet." in page


def test_a_weigh_off_is_held_to_the_touch_of_its_order(owner):
    # 47 g down at every key: inside 50 ± 2 nowhere, inside 47 ± 2 everywhere.
    instrument = make_instrument(touch_bass_g=50, touch_middle_g=50, touch_treble_g=50)
    instrument.refresh_from_db()
    order = make_order(instrument=instrument)
    item = make_item(order=order, acceptance=Acceptance.TOUCH)
    weighing = make_weighing(instrument=instrument, down_g=47, stage="after_work", by=owner)
    assert "outside the curve" in str(acceptance_problems(item, weighing=weighing))
    lighter = Curve(Decimal(47), Decimal(47), Decimal(47), Decimal(2))
    aim_order(order=order, curve=lighter, reason="for Isolde Fenn: 3 g lighter", by=owner)
    item = WorkItem.objects.get(pk=item.pk)
    assert "outside the curve" not in str(acceptance_problems(item, weighing=weighing))
    assert item.order.own_touch_words == "47 / 47 / 47 g within 2 g, for Isolde Fenn: 3 g lighter"
    assert instrument.touch_bass_g == 50
    aim_order(order=order, curve=None, by=owner)
    assert "outside the curve" in str(acceptance_problems(WorkItem.objects.get(), weighing=weighing))


def test_the_database_keeps_an_own_touch_whole(owner):
    order = make_order()
    with pytest.raises(IntegrityError):
        WorkOrder.objects.filter(pk=order.pk).update(touch_bass_g=47)
