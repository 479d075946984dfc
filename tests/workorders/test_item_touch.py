"""A weigh-off closes its item only when it is whole, new enough, and inside the curve at every key."""

from datetime import timedelta
from decimal import Decimal

import pytest

from instruments.actions.weighing import record_weighing
from instruments.problems import Blocked
from tests import make
from workorders.actions.items import close_item

pytestmark = pytest.mark.django_db

CURVE = {"touch_bass_g": 50, "touch_middle_g": 50, "touch_treble_g": 50, "touch_tolerance_g": 2}


@pytest.fixture
def item():
    order = make.make_order(instrument=make.make_instrument(**CURVE))
    return make.make_item(order=order, name="Set the touch weight", acceptance="touch")


def weighed(item, changes=None, *, keys=range(1, 86), on=make.A_DAY):
    """Every key at 50 g down and 25 g up (friction 12.5 g), but for the changes: {key: (down, up)}."""
    grams = {key: (Decimal(50), Decimal(25)) for key in keys} | (changes or {})
    return record_weighing(
        instrument=item.order.instrument,
        readings=[(key, down, up) for key, (down, up) in grams.items()],
        stage="after_work",
        by=make.somebody(),
        on=on,
    )


def close(item, by, weighing, **fields):
    return close_item(item=item, by=by, on=make.A_DAY, result="Weighed off.", weighing=weighing, **fields)


def test_every_key_inside_the_curve_closes_the_item(technician, item):
    weighing = weighed(item, {4: (Decimal(52), Decimal(27)), 85: (Decimal(48), Decimal(23))})
    assert close(item, technician, weighing).weighing == weighing


def test_one_key_out_by_friction_keeps_it_open_and_is_named(technician, item):
    with pytest.raises(Blocked) as refused:
        close(item, technician, weighed(item, {40: (Decimal(58), Decimal(20))}))
    item.refresh_from_db()
    assert (item.state, str(refused.value)) == (
        "open",
        "C4 (58 g, 50 g wanted) is outside the curve: high down and low up, which is friction. "
        "Ease, lubricate or re-centre, then weigh again.",
    )


@pytest.mark.parametrize(
    ("down", "up", "cause"),
    [
        ("55", "28", "down and up both high, which is weight"),
        ("47", "25", "too light"),
        ("55", None, "without an up-weight nothing tells why"),
    ],
)
def test_each_cause_is_told_in_its_own_words(technician, item, down, up, cause):
    readings = {40: (Decimal(down), up and Decimal(up))}
    with pytest.raises(Blocked, match=f"C4 .* is outside the curve: {cause}"):
        close(item, technician, weighed(item, readings))


def test_keys_that_were_not_weighed_are_named(technician, item):
    with pytest.raises(Blocked, match=r"Not weighed: A0, A♯0 and A7\. Weigh every key\."):
        close(item, technician, weighed(item, keys=range(3, 85)))


def test_many_keys_are_named_and_the_rest_counted(technician, item):
    with pytest.raises(Blocked, match=r"^Not weighed: A0, .* and 8 more\."):
        close(item, technician, weighed(item, keys=range(21, 86)))


def test_a_key_without_an_up_weight_is_named(technician, item):
    with pytest.raises(Blocked, match=r"No up-weight: C4\. The key did not return, or was not tried\."):
        close(item, technician, weighed(item, {40: (Decimal(50), None)}))


def test_a_weigh_off_of_another_instrument_proves_nothing(technician, item):
    other = make.make_item(order=make.make_order(instrument=make.make_instrument(**CURVE)))
    with pytest.raises(Blocked, match="taken on another instrument"):
        close(item, technician, weighed(other))


def test_a_weigh_off_older_than_the_lubrication_proves_nothing(technician, item):
    weighing = weighed(item, on=make.A_DAY - timedelta(days=1))
    lubricate = make.make_item(order=item.order)
    item.needs.add(lubricate)
    close_item(item=lubricate, by=technician, on=make.A_DAY, result="Done.")
    with pytest.raises(Blocked, match=r"older than “Lubricate the action”, done on 21 March 2026\."):
        close(item, technician, weighing)


def test_no_weigh_off_is_asked_for(technician, item):
    with pytest.raises(Blocked, match="Weigh the keys off after the work"):
        close(item, technician, None)


def test_only_the_owner_may_accept_a_key_that_is_out_and_it_stays_visible(technician, owner, item):
    weighing = weighed(item, {40: (Decimal(58), Decimal(20))})
    with pytest.raises(Blocked, match="Only the owner may accept"):
        close(item, technician, weighing, override_reason="One key")
    closed = close(item, owner, weighing, override_reason="C4 is to be re-centred after the concert.")
    assert closed.override_reason == "C4 is to be re-centred after the concert."


def test_a_weigh_off_taken_as_found_closes_nothing(technician, item):
    weighing = make.make_weighing(instrument=item.order.instrument, by=technician, stage="as_found")
    with pytest.raises(Blocked, match="was taken as found"):
        close(item, technician, weighing)


def test_a_key_that_sinks_rightly_and_hardly_returns_keeps_it_open(technician, item):
    with pytest.raises(Blocked, match=r"C4 \(1 g up\) is slow to return: at least 20 g up is asked for"):
        close(item, technician, weighed(item, {40: (Decimal(50), Decimal(1))}))


def test_a_key_that_does_not_return_is_named_for_that(technician, item):
    with pytest.raises(Blocked, match="No up-weight: C4"):
        close(item, technician, weighed(item, {40: (Decimal(50), Decimal(0))}))
