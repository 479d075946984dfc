"""What is on hand is the sum of what came and went, and its cost is conserved."""

import contextlib
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

from instruments.problems import Blocked, Refused
from tests import make
from workorders.actions.bench import take_back_part
from workorders.actions.stores import (
    count,
    keep_consumable,
    receive,
    take_back_delivery,
    use_from_stock,
    write_off,
)
from workorders.costs import bench_cost_of
from workorders.models import Consumable, StockMovement
from workorders.stock import OnHand, on_hand_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def pins():
    return make.make_consumable()


def deliver(consumable, quantity, cost_minor, by=None):
    return receive(
        consumable=consumable,
        quantity=Decimal(quantity),
        cost_minor=cost_minor,
        by=by or make.somebody(),
        on=make.A_DAY,
    )


def use(consumable, quantity, item=None):
    return use_from_stock(
        item=item or make.make_item(),
        consumable=consumable,
        quantity=Decimal(quantity),
        by=make.somebody(),
        on=make.A_DAY,
    )


def counted(consumable, quantity, **more):
    return count(
        consumable=consumable,
        counted=Decimal(quantity),
        why="Year's end",
        by=make.somebody(),
        on=make.A_DAY,
        **more,
    )


def test_a_part_from_the_stores_brings_its_cost_to_the_instrument(pins):
    deliver(pins, 100, 1200)
    deliver(pins, 50, 750)
    item = make.make_item()
    use(pins, 7, item)
    assert bench_cost_of(item.order.instrument).parts_minor == 91
    assert on_hand_of(pins) == OnHand(Decimal(143), 1859)


def test_more_than_is_on_hand_is_refused_and_says_to_count(pins):
    deliver(pins, 3, 36)
    with pytest.raises(Blocked, match=r"5 wanted, 3 on hand by the books\. If there is more, count"):
        use(pins, 5)


def test_taken_back_it_goes_back_at_the_cost_it_went_out_with(pins):
    deliver(pins, 10, 100)
    part = use(pins, 4)
    deliver(pins, 6, 1000)
    take_back_part(entry=part, by=make.somebody())
    assert on_hand_of(pins) == OnHand(Decimal(16), 1100)


def test_a_part_is_taken_back_once_and_its_stock_with_it(pins):
    deliver(pins, 10, 100)
    part = use(pins, 4)
    take_back_part(entry=part, by=make.somebody())
    with pytest.raises(Blocked, match="taken back already"):
        take_back_part(entry=part, by=make.somebody())
    assert on_hand_of(pins).quantity == 10


def test_what_a_count_misses_leaves_at_the_average(pins):
    deliver(pins, 10, 105)
    assert counted(pins, 7).value_minor == -32  # 3 of 10 for 105 is 31.5
    assert on_hand_of(pins) == OnHand(Decimal(7), 73)


def test_what_a_count_finds_comes_in_at_the_average(pins):
    deliver(pins, 10, 100)
    counted(pins, 12)
    assert on_hand_of(pins) == OnHand(Decimal(12), 120)


def test_a_count_that_agrees_is_kept_all_the_same(pins):
    deliver(pins, 10, 100)
    assert (counted(pins, 10).quantity, pins.movements.count()) == (0, 2)


def test_a_first_count_asks_what_was_found_has_cost(pins):
    with pytest.raises(Blocked, match="give their cost, or 0"):
        counted(pins, 12)
    counted(pins, 12, cost_minor=150)
    assert on_hand_of(pins) == OnHand(Decimal(12), 150)


def test_what_is_spoilt_is_written_off_with_a_reason(pins):
    deliver(pins, 10, 100)
    write_off(consumable=pins, quantity=Decimal(2), why="Rusty", by=make.somebody(), on=make.A_DAY)
    assert on_hand_of(pins) == OnHand(Decimal(8), 80)
    with pytest.raises(Blocked, match="Say why"):
        write_off(consumable=pins, quantity=Decimal(2), why=" ", by=make.somebody(), on=make.A_DAY)


def test_a_delivery_written_down_wrongly_is_taken_back_once(pins):
    wrong = deliver(pins, 10, 1000)
    take_back_delivery(delivery=wrong, by=make.somebody(), on=make.A_DAY)
    assert on_hand_of(pins) == OnHand()
    with pytest.raises(Blocked, match="taken back already"):
        take_back_delivery(delivery=wrong, by=make.somebody(), on=make.A_DAY)


def test_a_delivery_that_has_been_used_of_stays(pins):
    first = deliver(pins, 10, 1000)
    deliver(pins, 10, 2000)
    use(pins, 10)
    with pytest.raises(Blocked, match="used since"):
        take_back_delivery(delivery=first, by=make.somebody(), on=make.A_DAY)


def test_what_is_counted_one_by_one_comes_whole(pins):
    with pytest.raises(Blocked, match="whole numbers"):
        deliver(pins, "2.5", 100)


def test_a_unit_stays_once_something_has_moved(pins):
    deliver(pins, 10, 100)
    pins.unit = "g"
    with pytest.raises(Blocked, match="keep the unit"):
        keep_consumable(consumable=pins, by=make.somebody())


def test_key_leads_are_lead_whatever_was_ticked():
    leads = Consumable(kind="leads", name="Key leads 12.7 mm")
    assert keep_consumable(consumable=leads, by=make.somebody()).hazard == "lead"


def test_tenths_add_up_exactly_on_every_database():
    felt = make.make_consumable(name="Bushing cloth", kind="felt", unit="m")
    for _ in range(10):
        deliver(felt, "0.1", 10)
    assert on_hand_of(felt) == OnHand(Decimal(1), 100)
    assert Consumable.objects.with_stock().get(pk=felt.pk).on_hand == 1


def test_low_is_what_has_come_down_to_its_mark(pins):
    make.make_consumable(name="No mark", low_mark=None)
    deliver(pins, 100, 100)
    assert list(Consumable.objects.low()) == []
    use(pins, 50)
    assert list(Consumable.objects.low()) == [pins]


STEPS = st.lists(
    st.tuples(
        st.sampled_from(["deliver", "use", "back", "count", "write_off", "undeliver"]),
        st.integers(1, 40),
        st.integers(0, 5000),
    ),
    max_size=12,
)


class StoresAreConserved(TestCase):
    @settings(max_examples=15, deadline=None)
    @given(STEPS)
    def test_whatever_is_done_cost_in_is_cost_used_lost_and_on_hand(self, steps):
        """No sequence loses a penny, goes below nothing, or leaves a cost on an empty shelf."""
        consumable, item, by = make.make_consumable(), make.make_item(), make.somebody()
        for step, quantity, cost in steps:
            with contextlib.suppress(Refused):
                self.do(step, Decimal(quantity), cost, consumable, item, by)
            on_hand = on_hand_of(consumable)
            assert on_hand.quantity >= 0
            assert on_hand.value_minor >= 0
            assert on_hand.quantity or not on_hand.value_minor
        used = bench_cost_of(item.order.instrument).parts_minor
        moved = {kind: sum(m.value_minor for m in rows) for kind, rows in self.by_kind(consumable)}
        came = moved["delivery"] + moved["undelivered"]
        assert came + moved["counted"] + moved["written_off"] == used + on_hand_of(consumable).value_minor

    @staticmethod
    def by_kind(consumable):
        kinds = ("delivery", "undelivered", "counted", "written_off")
        return [(kind, StockMovement.objects.filter(consumable=consumable, kind=kind)) for kind in kinds]

    @staticmethod
    def do(step, quantity, cost, consumable, item, by):
        on = make.A_DAY
        match step:
            case "deliver":
                receive(consumable=consumable, quantity=quantity, cost_minor=cost, by=by, on=on)
            case "use":
                use_from_stock(item=item, consumable=consumable, quantity=quantity, by=by, on=on)
            case "back" if part := item.parts.filter(corrects=None, corrected_by=None).first():
                take_back_part(entry=part, by=by)
            case "count":
                count(consumable=consumable, counted=quantity, why="Count", by=by, on=on)
            case "write_off":
                write_off(consumable=consumable, quantity=quantity, why="Rust", by=by, on=on)
            case "undeliver" if movement := consumable.movements.filter(kind="delivery").first():
                take_back_delivery(delivery=movement, by=by, on=on)
