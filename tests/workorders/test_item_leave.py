import pytest

from instruments.problems import Blocked
from tests import make
from workorders.actions.items import leave_item

pytestmark = pytest.mark.django_db


def leave(item, by, reason="Not worth it on this piano."):
    return leave_item(item=item, reason=reason, by=by, on=make.A_DAY)


def test_optional_work_may_be_left_with_a_reason(technician):
    item = leave(make.make_item(is_required=False), technician)
    assert (item.state, item.result) == ("left", "Not worth it on this piano.")


def test_leaving_asks_for_a_reason(technician):
    with pytest.raises(Blocked, match="Say why"):
        leave(make.make_item(is_required=False), technician, reason=" ")


def test_required_work_is_left_by_the_owner_alone(technician, owner):
    item = make.make_item()
    with pytest.raises(Blocked, match="only the owner may leave it"):
        leave(item, technician)
    assert leave(item, owner).state == "left"


def test_what_others_wait_for_is_left_by_the_owner_alone(technician, owner):
    gate = make.make_item(name="Prove the frame", is_required=False)
    make.make_item(order=gate.order, name="French polish", needs=[gate])
    with pytest.raises(Blocked, match="“French polish” waits for it: only the owner may leave it"):
        leave(gate, technician)
    assert leave(gate, owner).state == "left"


def test_what_was_left_is_not_left_again(owner):
    item = make.make_item()
    leave(item, owner)
    with pytest.raises(Blocked, match="Olive Tarn left “Lubricate the action” as it is on 21 March 2026"):
        leave(item, owner)


def test_what_waited_for_the_left_item_waits_for_what_that_waited_for(owner):
    lubricate = make.make_item(name="Lubricate the action")
    regulate = make.make_item(order=lubricate.order, name="Regulate", needs=[lubricate])
    weigh = make.make_item(order=lubricate.order, name="Set the touch weight", needs=[regulate])
    leave(regulate, owner)
    assert lubricate in weigh.needs.all()
