import pytest

from instruments.problems import Blocked
from tests import make
from workorders.actions.items import close_item, reopen_item
from workorders.actions.orders import close_order

pytestmark = pytest.mark.django_db


def closed(item, by):
    return close_item(item=item, by=by, on=make.A_DAY, result="Done.")


def reopen(item, by, reason="Still sluggish in damp weather."):
    return reopen_item(item=item, reason=reason, by=by, on=make.A_DAY)


def test_a_reopened_item_is_open_and_its_history_says_why(technician):
    item = reopen(closed(make.make_item(), technician), technician)
    assert (item.state, item.result, item.closed_by) == ("open", "", None)
    assert item.history.first().history_change_reason == (
        "“Lubricate the action” opened again on 21 March 2026: Still sluggish in damp weather."
    )


def test_the_earlier_closing_stays_in_the_history(technician):
    item = reopen(closed(make.make_item(), technician), technician)
    assert [row.state for row in item.history.all()] == ["open", "done", "open"]


def test_reopening_asks_for_a_reason(technician):
    with pytest.raises(Blocked, match="Say why"):
        reopen(closed(make.make_item(), technician), technician, reason="")


def test_an_item_stays_closed_while_later_work_stands_on_it(technician):
    lubricate = make.make_item()
    weigh = make.make_item(order=lubricate.order, name="Set the touch weight", needs=[lubricate])
    closed(lubricate, technician)
    closed(weigh, technician)
    with pytest.raises(Blocked, match="“Set the touch weight” was done after it: reopen that first"):
        reopen(lubricate, technician)


def test_an_item_of_a_ready_order_stays_closed(technician):
    item = closed(make.make_item(), technician)
    close_order(order=item.order, by=technician, on=make.A_DAY)
    with pytest.raises(Blocked, match="is ready: reopen the order first"):
        reopen(item, technician)


def test_an_open_item_has_nothing_to_reopen(technician):
    with pytest.raises(Blocked, match="“Lubricate the action” is open"):
        reopen(make.make_item(), technician)
