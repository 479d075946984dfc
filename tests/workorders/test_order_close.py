import pytest

from instruments.problems import Blocked
from tests import make
from workorders.actions.items import close_item
from workorders.actions.orders import close_order, give_up_order, reopen_order

pytestmark = pytest.mark.django_db


def states(order):
    return [item.state for item in order.items.all()]


def test_an_order_is_ready_when_all_required_work_is_done(technician):
    item = make.make_item()
    close_item(item=item, by=technician, on=make.A_DAY, result="Done.")
    order = close_order(order=item.order, by=technician, on=make.A_DAY)
    assert (order.state, order.closed_by) == ("ready", technician)


def test_an_order_with_required_work_open_is_not_ready(technician):
    item = make.make_item()
    with pytest.raises(Blocked, match="Lubricate the action: required, and still open"):
        close_order(order=item.order, by=technician, on=make.A_DAY)


def test_optional_work_still_open_is_left_and_says_so(technician):
    item = make.make_item(is_required=False)
    close_order(order=item.order, by=technician, on=make.A_DAY)
    item.refresh_from_db()
    assert (item.state, item.result) == ("left", "Not done when the order was called ready.")


def test_optional_work_that_another_order_waits_for_is_not_lost_on_the_way(technician):
    item = make.make_item(is_required=False)
    other = make.make_order(instrument=item.order.instrument)
    make.make_item(order=other, name="Set the touch weight", needs=[item])
    with pytest.raises(Blocked, match=f"“Set the touch weight” in {other.number} waits for"):
        close_order(order=item.order, by=technician, on=make.A_DAY)


def test_an_order_is_called_ready_once(technician):
    order = close_order(order=make.make_order(), by=technician, on=make.A_DAY)
    with pytest.raises(Blocked, match="is ready already"):
        close_order(order=order, by=technician, on=make.A_DAY)


def test_an_order_with_required_work_is_given_up_by_the_owner_alone(technician, owner):
    item = make.make_item()
    with pytest.raises(Blocked, match="only the owner may give it up"):
        give_up_order(order=item.order, reason="Sold as seen.", by=technician, on=make.A_DAY)
    order = give_up_order(order=item.order, reason="Sold as seen.", by=owner, on=make.A_DAY)
    assert (order.state, states(order)) == ("abandoned", ["left"])


def test_giving_up_asks_for_a_reason(owner):
    with pytest.raises(Blocked, match="Say why"):
        give_up_order(order=make.make_order(), reason="", by=owner, on=make.A_DAY)


def test_taking_an_order_up_again_opens_what_its_closing_left(owner):
    item = make.make_item()
    give_up_order(order=item.order, reason="Sold as seen.", by=owner, on=make.A_DAY)
    order = reopen_order(order=item.order, reason="Sale fell through.", by=owner, on=make.A_DAY)
    assert (order.state, states(order)) == ("open", ["open"])


def test_taking_an_order_up_again_leaves_alone_what_later_work_stands_on(owner):
    gate = make.make_item()
    other = make.make_order(instrument=gate.order.instrument)
    later = make.make_item(order=other, name="Set the touch weight", needs=[gate])
    give_up_order(order=gate.order, reason="Sold as seen.", by=owner, on=make.A_DAY)
    close_item(item=later, by=owner, on=make.A_DAY, result="Done.")
    order = reopen_order(order=gate.order, reason="Sale fell through.", by=owner, on=make.A_DAY)
    assert states(order) == ["left"]
