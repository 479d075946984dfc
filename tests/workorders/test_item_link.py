import pytest

from instruments.problems import Blocked
from tests import make
from workorders.actions.items import close_item, link_need, unlink_need

pytestmark = pytest.mark.django_db


@pytest.fixture
def order():
    return make.make_order()


def item(order, name):
    return make.make_item(order=order, name=name)


def test_an_item_can_be_made_to_wait_for_another(order, technician):
    tune, regulate = item(order, "Tune"), item(order, "Regulate")
    link_need(item=tune, need=regulate, by=technician)
    assert list(tune.needs.all()) == [regulate]


def test_and_no_longer(order, technician):
    tune, regulate = item(order, "Tune"), item(order, "Regulate")
    link_need(item=tune, need=regulate, by=technician)
    unlink_need(item=tune, need=regulate, by=technician)
    assert list(tune.needs.all()) == []


def test_a_circle_is_refused(order, technician):
    tune, regulate, clean = item(order, "Tune"), item(order, "Regulate"), item(order, "Clean")
    link_need(item=tune, need=regulate, by=technician)
    link_need(item=regulate, need=clean, by=technician)
    with pytest.raises(Blocked, match="“Tune” already waits for “Clean”: neither could ever start"):
        link_need(item=clean, need=tune, by=technician)


def test_a_circle_through_another_order_is_refused(order, technician):
    tune = item(order, "Tune")
    regulate = item(make.make_order(instrument=order.instrument), "Regulate")
    link_need(item=tune, need=regulate, by=technician)
    with pytest.raises(Blocked, match="neither could ever start"):
        link_need(item=regulate, need=tune, by=technician)


def test_an_item_cannot_wait_for_itself(order, technician):
    tune = item(order, "Tune")
    with pytest.raises(Blocked, match="cannot wait for itself"):
        link_need(item=tune, need=tune, by=technician)


def test_an_item_cannot_wait_for_another_instrument(order, technician):
    elsewhere = item(make.make_order(instrument=make.make_instrument()), "Regulate")
    with pytest.raises(Blocked, match="work on another instrument"):
        link_need(item=item(order, "Tune"), need=elsewhere, by=technician)


def test_a_done_item_gets_nothing_to_wait_for(order, technician):
    tune, regulate = item(order, "Tune"), item(order, "Regulate")
    close_item(item=tune, by=technician, on=make.A_DAY, result="Done.")
    with pytest.raises(Blocked, match="Tobias Lind closed “Tune”"):
        link_need(item=tune, need=regulate, by=technician)
