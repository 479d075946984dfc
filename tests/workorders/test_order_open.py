import pytest

from instruments.problems import Blocked
from tests import make
from workorders.actions.orders import add_items, add_own_item, open_order
from workorders.actions.tasks import load_tasks
from workorders.models import Task, WorkItem

pytestmark = pytest.mark.django_db


def opened(technician, *codes, instrument=None):
    load_tasks()
    return open_order(
        instrument=instrument or make.make_instrument(),
        title="Prepare for sale",
        tasks=Task.objects.filter(code__in=codes),
        by=technician,
        on=make.A_DAY,
    )


def needs_of(item_name: str) -> set[str]:
    return set(WorkItem.objects.get(name=item_name).needs.values_list("name", flat=True))


def test_an_order_gets_its_number_and_its_items_in_the_order_of_work(technician):
    order = opened(technician, "fine-tune", "clean-out", "lubricate-action")
    assert order.number == "W26-001"
    assert [item.task.code for item in order.items.all()] == ["clean-out", "lubricate-action", "fine-tune"]


def test_an_item_waits_for_the_item_of_the_task_it_needs(technician):
    opened(technician, "set-touch-weight", "lubricate-action")
    assert needs_of("Set the touch weight") == {"Lubricate the action"}


def test_an_item_waits_through_tasks_that_nobody_ordered(technician):
    opened(technician, "voice", "lubricate-action")
    assert needs_of("Voice") == {"Lubricate the action"}


def test_an_item_waits_for_another_order_of_the_same_instrument(technician):
    first = opened(technician, "lubricate-action")
    opened(technician, "set-touch-weight", instrument=first.instrument)
    assert needs_of("Set the touch weight") == {"Lubricate the action"}


def test_an_item_does_not_wait_for_another_instrument(technician):
    opened(technician, "lubricate-action")
    opened(technician, "set-touch-weight", instrument=make.make_instrument())
    assert needs_of("Set the touch weight") == set()


def test_what_is_added_later_is_waited_for_by_what_is_open(technician):
    order = opened(technician, "set-touch-weight")
    add_items(order=order, tasks=Task.objects.filter(code="lubricate-action"), by=technician, on=make.A_DAY)
    assert needs_of("Set the touch weight") == {"Lubricate the action"}


def test_a_task_still_open_on_the_instrument_is_not_added_twice(technician):
    order = opened(technician, "lubricate-action")
    again = add_items(
        order=order, tasks=Task.objects.filter(code="lubricate-action"), by=technician, on=make.A_DAY
    )
    assert (again, order.items.count()) == ([], 1)


def test_nothing_is_added_to_an_order_that_is_not_open(technician):
    order = make.make_order(state="ready", closed_at="2026-03-21T10:00Z", closed_by=technician)
    with pytest.raises(Blocked, match="is ready: reopen the order first"):
        add_own_item(order=order, name="New castor", by=technician, on=make.A_DAY)


def test_work_in_our_own_words_comes_last(technician):
    order = opened(technician, "lubricate-action", "clean-out")
    add_own_item(order=order, name="New lock for the fall", by=technician, on=make.A_DAY)
    assert [item.name for item in order.items.all()][-1] == "New lock for the fall"


def test_an_order_leaves_who_and_what_in_the_history(technician):
    order = opened(technician, "lubricate-action", "clean-out")
    told = [(change.history_user, change.history_change_reason) for change in order.history.all()]
    assert told == [
        (technician, "Added to W26-001: Strip, vacuum and clean out, Lubricate the action"),
        (technician, "Work order W26-001 opened: Prepare for sale"),
    ]


def test_work_in_our_own_words_fits_after_the_last_place_there_is(technician):
    order = open_order(
        instrument=make.make_instrument(),
        title="All of it",
        tasks=[make.make_task(rank=32_767)],
        by=technician,
        on=make.A_DAY,
    )
    own = add_own_item(order=order, name="Look again", by=technician, on=make.A_DAY)
    assert own.rank == 32_767
