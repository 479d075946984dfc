from decimal import Decimal

import pytest

from tests import make
from workorders.actions.bench import log_time, set_rate, use_part
from workorders.actions.items import close_item, leave_item
from workorders.actions.orders import give_up_order
from workorders.summary import work_done_on, work_left_on, work_summary

pytestmark = pytest.mark.django_db


def test_work_done_is_told_with_its_figure_date_and_name(technician):
    item = make.make_item(
        name="Set the let-off", acceptance="figure", figure_name="let-off", figure_unit="mm", figure_low=2
    )
    close_item(item=item, by=technician, on=make.A_DAY, result="All 85.", figure=Decimal("2.5"))
    (done,) = work_done_on(item.order.instrument)
    assert (done.name, done.result, done.measured, done.closed_on, done.by_name) == (
        "Set the let-off",
        "All 85.",
        "let-off: 2.5 mm",
        make.A_DAY,
        "Tobias Lind",
    )


def test_an_override_stays_visible_in_what_was_done(owner):
    item = make.make_item(acceptance="photo")
    close_item(item=item, by=owner, on=make.A_DAY, result="Done.", override_reason="The camera was away.")
    assert work_done_on(item.order.instrument)[0].limit == "No photograph after the work."


def test_what_is_open_and_what_was_left_is_told(owner):
    item = make.make_item(name="Lubricate the action")
    left = make.make_item(order=item.order, name="French polish")
    leave_item(item=left, reason="The old finish is honest.", by=owner, on=make.A_DAY)
    told = [(work.name, work.reason) for work in work_left_on(item.order.instrument)]
    assert told == [("Lubricate the action", "still to do"), ("French polish", "The old finish is honest.")]


def test_what_was_left_and_done_later_is_no_longer_told_as_left(owner):
    task = make.make_task()
    left = make.make_item(task=task)
    leave_item(item=left, reason="Not now.", by=owner, on=make.A_DAY)
    later = make.make_item(order=left.order, task=task)
    close_item(item=later, by=owner, on=make.A_DAY, result="Done.")
    assert work_left_on(left.order.instrument) == []


def test_a_given_up_order_is_not_told_as_faults(owner):
    item = make.make_item()
    give_up_order(order=item.order, reason="Sold as seen.", by=owner, on=make.A_DAY)
    assert work_left_on(item.order.instrument) == []


def test_steps_say_what_can_be_started_and_what_waits_for_which(technician):
    clean = make.make_item(name="Clean out", rank=1)
    lubricate = make.make_item(order=clean.order, name="Lubricate the action", rank=2)
    make.make_item(order=clean.order, name="Set the touch weight", rank=3, needs=[lubricate])
    close_item(item=clean, by=technician, on=make.A_DAY, result="Done.")
    work = work_summary(clean.order.instrument)
    steps = [(step.number, step.state, step.waits_words) for step in work.open_orders[0].steps]
    assert steps == [(1, "done", "waits for "), (2, "ready", "waits for "), (3, "waits", "waits for 2")]
    assert work.next_step.item == lubricate


def test_a_step_that_waits_for_another_order_names_it():
    lubricate = make.make_item()
    order = make.make_order(instrument=lubricate.order.instrument)
    make.make_item(order=order, name="Set the touch weight", needs=[lubricate])
    work = work_summary(order.instrument)
    assert work.open_orders[1].steps[0].waits_words == (
        f"waits for “Lubricate the action” in {lubricate.order.number}"
    )


def test_time_and_parts_of_a_step_do_not_count_each_other_twice(technician, owner):
    set_rate(per_hour_minor=6000, since=make.A_DAY, by=owner)
    item = make.make_item()
    for _ in range(2):
        log_time(item=item, person=technician, minutes=30, by=technician, on=make.A_DAY)
    for cost in (100, 200, 300):
        use_part(item=item, name="Felt", quantity=Decimal(1), cost_minor=cost, by=technician, on=make.A_DAY)
    (step,) = work_summary(item.order.instrument).open_orders[0].steps
    assert (step.minutes, step.cost_minor) == (60, 6600)


@pytest.mark.parametrize("count", [1, 10])
def test_the_work_of_an_instrument_takes_the_same_queries_however_much_it_is(
    count, technician, django_assert_num_queries
):
    order = make.make_order()
    first = make.make_item(order=order, name="Clean out")
    for _ in range(count):
        make.make_item(order=order, needs=[first], assigned_to=technician)
    with django_assert_num_queries(3):
        work = work_summary(order.instrument)
        assert len(work.open_orders[0].steps) == count + 1
