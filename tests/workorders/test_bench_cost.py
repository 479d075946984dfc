from decimal import Decimal

import pytest

from instruments.problems import Blocked
from tests import make
from workorders.actions.bench import log_time, set_rate, take_back_part, take_back_time, use_part
from workorders.costs import BenchCost, bench_cost_of, bench_costs

pytestmark = pytest.mark.django_db


def log(item, person, minutes=60):
    return log_time(item=item, person=person, minutes=minutes, by=person, on=make.A_DAY)


def use(item, by, cost_minor=None, quantity="1"):
    return use_part(
        item=item, name="Centre pins", quantity=Decimal(quantity), cost_minor=cost_minor, by=by, on=make.A_DAY
    )


def test_an_instrument_nobody_worked_on_has_cost_nothing():
    assert bench_cost_of(make.make_instrument()) == BenchCost()


def test_time_and_parts_of_all_orders_add_up(technician, owner):
    set_rate(per_hour_minor=4000, since=make.A_DAY, by=owner)
    item = make.make_item()
    later = make.make_item(order=make.make_order(instrument=item.order.instrument))
    log(item, technician, 90)
    log(later, technician, 30)
    use(item, technician, 1250)
    use(later, technician, 99)
    cost = bench_cost_of(item.order.instrument)
    assert (cost.minutes, cost.labour_minor, cost.parts_minor, cost.total_minor) == (120, 8000, 1349, 9349)


def test_what_is_taken_back_leaves_no_trace_in_the_sums(technician, owner):
    set_rate(per_hour_minor=4000, since=make.A_DAY, by=owner)
    item = make.make_item()
    take_back_time(entry=log(item, technician), by=technician)
    take_back_part(entry=use(item, technician, 1250), by=technician)
    assert bench_cost_of(item.order.instrument) == BenchCost()


def test_minutes_without_a_rate_and_parts_without_a_cost_are_counted(technician):
    item = make.make_item()
    log(item, technician, 45)
    use(item, technician)
    take_back_part(entry=use(item, technician), by=technician)
    cost = bench_cost_of(item.order.instrument)
    assert (cost.minutes_without_rate, cost.parts_without_cost, cost.is_whole) == (45, 1, False)


def test_another_instrument_s_work_is_not_counted(technician):
    log(make.make_item(), technician)
    assert bench_cost_of(make.make_instrument()).minutes == 0


def test_many_instruments_take_one_query(technician, django_assert_num_queries):
    items = [make.make_item(order=make.make_order(instrument=make.make_instrument())) for _ in range(3)]
    for item in items:
        log(item, technician)
    with django_assert_num_queries(1):
        costs = bench_costs([item.order.instrument_id for item in items])
    assert [cost.minutes for cost in costs.values()] == [60, 60, 60]


def test_nothing_used_is_refused(technician):
    with pytest.raises(Blocked, match="above 0"):
        use(make.make_item(), technician, quantity="0")
