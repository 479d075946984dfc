import pytest

from instruments.problems import Blocked
from tests import make
from workorders.actions.items import assign_item, close_item
from workorders.models import WorkItem

pytestmark = pytest.mark.django_db


def assign(item, to, by):
    return assign_item(item=item, to=to, by=by, on=make.A_DAY)


def test_an_item_is_given_to_a_technician_and_the_history_says_so(technician, owner):
    item = assign(make.make_item(), technician, owner)
    assert item.assigned_to == technician
    assert item.history.first().history_change_reason == "“Lubricate the action” given to Tobias Lind"


def test_an_item_can_be_given_back_to_everybody(technician):
    item = assign(make.make_item(assigned_to=technician), None, technician)
    assert item.assigned_to is None


def test_nobody_gets_bench_work_who_does_not_do_any(seller, owner):
    with pytest.raises(Blocked, match="Selma Quick does not work at the bench"):
        assign(make.make_item(), seller, owner)


def test_a_closed_item_is_not_given_to_anybody(technician):
    item = make.make_item()
    close_item(item=item, by=technician, on=make.A_DAY, result="Done.")
    with pytest.raises(Blocked, match="Tobias Lind closed"):
        assign(item, technician, technician)


def test_what_can_be_done_now_is_open_and_waits_for_nothing():
    lubricate = make.make_item()
    make.make_item(order=lubricate.order, name="Set the touch weight", needs=[lubricate])
    assert list(WorkItem.objects.can_be_done_now()) == [lubricate]


def test_what_waits_is_open_and_waits_for_something_open():
    lubricate = make.make_item()
    weigh = make.make_item(order=lubricate.order, name="Set the touch weight", needs=[lubricate])
    assert list(WorkItem.objects.waiting()) == [weigh]
