"""The day an order is finished, from rows to words."""

from datetime import timedelta

import pytest

from tests import make
from workorders.actions.bench import log_time
from workorders.actions.bench_hours import record_days_away, set_hours
from workorders.actions.gates import waive_gates
from workorders.actions.items import leave_item
from workorders.estimates import estimate_of
from workorders.models import GateWaiver, OutsideJob, Outworker
from workorders.planning import shop_plan

pytestmark = pytest.mark.django_db
MONDAY = make.A_DAY + timedelta(days=2)
WEEK = (240, 240, 240, 240, 120, 0, 0)


def day(number: int):
    return MONDAY + timedelta(days=number)


@pytest.fixture(autouse=True)
def hours(owner, technician):
    set_hours(person=technician, since=MONDAY, minutes=WEEK, by=owner)


def estimate(order):
    return estimate_of(order, shop_plan(on=MONDAY))


def sent(order, items=(), promised=None, goes="parts", **fields) -> OutsideJob:
    job = OutsideJob.objects.create(
        number=f"X{OutsideJob.objects.count()}",
        order=order,
        outworker=Outworker.objects.get_or_create(name="Hazel & Finch")[0],
        kind="polishing",
        work="Polish the fall",
        goes=goes,
        what_goes="the fall",
        state="sent",
        asked_on=make.A_DAY,
        sent_on=make.A_DAY,
        promised_on=promised,
        **fields,
    )
    job.items.set(items)
    return job


def test_an_order_ends_when_its_last_required_item_does(technician):
    """By hand: 5 h by Tobias at 4 h a day end on Tuesday; what is not required does not count."""
    first = make.make_item(name="Lubricate", usual_minutes=180, assigned_to=technician)
    make.make_item(order=first.order, name="Weigh off", rank=20, usual_minutes=120, needs=[first])
    make.make_item(order=first.order, name="Pedals", rank=30, usual_minutes=900, is_required=False)
    found = estimate(first.order)
    assert found.finish_on == day(1)
    assert [(link.name, link.why) for link in found.links] == [
        ("Lubricate", "can be started now"),
        ("Weigh off", "after “Lubricate”"),
    ]


def test_what_is_spent_is_not_counted_again(technician, owner):
    item = make.make_item(usual_minutes=480, assigned_to=technician)
    log_time(item=item, person=technician, minutes=300, by=owner, on=make.A_DAY)
    assert (estimate(item.order).finish_on, estimate(item.order).links[0].minutes) == (MONDAY, 180)


def test_an_order_is_held_against_the_day_it_is_wanted(technician):
    order = make.make_order(due_on=MONDAY)
    make.make_item(order=order, usual_minutes=600, assigned_to=technician)
    found = estimate(order)
    assert (found.finish_on, found.days_late, found.against_due) == (day(2), 2, "2 days after it is wanted")


def test_work_wanted_sooner_elsewhere_comes_first_and_is_named(technician):
    urgent = make.make_order(due_on=day(3))
    make.make_item(order=urgent, name="Repin", usual_minutes=480, assigned_to=technician)
    ours = make.make_item(name="Tune", usual_minutes=60, assigned_to=technician)
    found = estimate(ours.order)
    assert found.finish_on == day(2)
    number = urgent.instrument.stock_number
    assert found.links[-1].why == f"Tobias Lind has “Repin” ({number}) first"
    assert found.shortage == "All 9 h of it are Tobias Lind's time."


def test_days_away_put_the_end_off(technician, owner):
    item = make.make_item(usual_minutes=60, assigned_to=technician)
    record_days_away(person=technician, first_day=MONDAY, last_day=day(2), kind="illness", by=owner)
    found = estimate(item.order)
    assert found.finish_on == day(3)
    assert found.links[0].why == "Tobias Lind is next at the bench on Thursday 26 March"


def test_work_outside_holds_what_it_names_until_the_day_after_the_promise(technician):
    item = make.make_item(usual_minutes=60, assigned_to=technician)
    job = sent(item.order, [item], promised=day(1))
    found = estimate(item.order)
    assert found.links[0].url == job.get_absolute_url()
    assert found.finish_on == day(2)
    assert [link.why for link in found.links] == ["promised for 24 March", "after “Polishing”"]


def test_an_instrument_out_of_the_house_holds_all_its_orders(technician):
    away = make.make_order()
    item = make.make_item(
        order=make.make_order(instrument=away.instrument), usual_minutes=60, assigned_to=technician
    )
    sent(away, promised=day(2), goes="whole")
    assert estimate(item.order).finish_on == day(3)


def test_what_is_overdue_outside_is_counted_from_today_and_said(technician):
    item = make.make_item(usual_minutes=60, assigned_to=technician)
    sent(item.order, [item], promised=make.A_DAY)
    found = estimate(item.order)
    assert found.finish_on == day(1)
    assert "2 days overdue: counted as back today at the earliest" in found.links[0].why


def test_without_a_promised_day_there_is_no_date():
    item = make.make_item()
    sent(item.order, [item])
    found = estimate(item.order)
    assert found.finish_on is None and "No day is promised for X0" in found.lacks[0]


def test_somebody_without_hours_is_named_in_place_of_a_date(owner):
    item = make.make_item(name="Repin", assigned_to=owner)
    found = estimate(item.order)
    assert found.finish_on is None
    assert found.lacks == (
        "“Repin” is with Olive Tarn, who has no hours at the bench. "
        "Write the hours down, or give it to somebody else.",
    )


def test_an_item_waits_for_another_order_of_its_instrument(technician):
    first = make.make_item(name="Repin", usual_minutes=300, assigned_to=technician)
    order = make.make_order(instrument=first.order.instrument)
    make.make_item(order=order, name="Tune", usual_minutes=30, needs=[first])
    found = estimate(order)
    assert found.finish_on == day(1)
    assert found.links[0].elsewhere.endswith(first.order.number)


def test_what_needs_nothing_more_has_no_estimate():
    assert not estimate(make.make_order()).has_work


def test_work_on_looks_waits_for_the_structure_of_its_instrument_unless_it_was_passed_over(technician, owner):
    frame = make.make_item(
        name="Prove the frame", usual_minutes=300, assigned_to=technician, concern="structure", rank=90
    )
    polish = make.make_item(
        order=make.make_order(instrument=frame.order.instrument),
        name="Polish",
        usual_minutes=60,
        assigned_to=technician,
        concern="looks",
    )
    assert [link.name for link in estimate(polish.order).links] == ["Prove the frame", "Polish"]
    GateWaiver.objects.create(
        item=polish,
        gate=frame,
        stood="open",
        reason="It is for a window",
        waived_on=MONDAY,
        waived_by=owner,
    )
    assert not shop_plan(on=MONDAY).needs["item", polish.pk]


def test_structure_that_was_made_to_wait_for_looks_still_has_a_day(technician):
    polish = make.make_item(name="Polish", assigned_to=technician, concern="looks")
    frame = make.make_item(
        order=polish.order, name="Frame", needs=[polish], assigned_to=technician, concern="structure"
    )
    assert estimate(frame.order).finish_on == MONDAY


def test_structure_found_wanting_holds_the_estimate_too(technician, owner):
    polish = make.make_item(name="French polish", concern="looks", assigned_to=technician)
    plank = make.make_item(order=polish.order, name="Test the pins", concern="structure")
    leave_item(item=plank, reason="Later.", by=owner, on=make.A_DAY)
    held = estimate(polish.order)
    assert held.finish_on is None
    assert held.lacks == (
        "“French polish” waits: “Test the pins” was left as it is. Prove it first, or ask the owner.",
    )
    waive_gates(item=polish, reason="This week only.", by=owner, on=make.A_DAY)
    assert estimate(polish.order).lacks == ()


def test_a_fault_of_the_structure_holds_the_estimate_as_it_holds_the_item(technician, owner):
    polish = make.make_item(name="French polish", concern="looks", assigned_to=technician)
    report = make.make_report(instrument=polish.order.instrument)
    make.make_line(report=report, part="frame", condition="replace")
    (lack,) = estimate(polish.order).lacks
    assert "Frame: replace" in lack and "no work answers for it" in lack
    waive_gates(item=polish, reason="Seen by the founder.", by=owner, on=make.A_DAY)
    assert estimate(polish.order).lacks == ()
