"""Two people take the last of something at the same moment: one has it, the other is told to count."""

from decimal import Decimal

import pytest

from instruments.problems import Blocked
from tests import make
from tests.workorders.test_item_close_race import at_the_same_moment
from workorders.actions.stores import receive, use_from_stock
from workorders.models import PartUsed
from workorders.stock import OnHand, on_hand_of

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.both]


def test_the_last_of_it_is_taken_once(technician, owner):
    pins, items = make.make_consumable(), [make.make_item(), make.make_item()]
    receive(consumable=pins, quantity=Decimal(5), cost_minor=60, by=owner, on=make.A_DAY)

    def taking(item, by):
        return lambda: use_from_stock(item=item, consumable=pins, quantity=Decimal(5), by=by, on=make.A_DAY)

    answers = at_the_same_moment(taking(items[0], technician), taking(items[1], owner))
    assert {type(answer) for answer in answers} == {PartUsed, Blocked}
    assert on_hand_of(pins) == OnHand()
