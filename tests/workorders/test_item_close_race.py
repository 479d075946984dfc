"""Two people press "finish" on the same item at the same moment: one closes it, the other is told by whom."""

import threading

import pytest
from django.db import connection

from instruments.problems import Blocked
from tests import make
from workorders.actions.items import close_item, reopen_item
from workorders.models import WorkItem

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.both]


def at_the_same_moment(*acts):
    """Run each act in a thread of its own, all started together; what each returned or was refused by."""
    barrier, answers = threading.Barrier(len(acts)), [None] * len(acts)

    def run(place, act):
        barrier.wait()
        try:
            answers[place] = act()
        except Blocked as refused:
            answers[place] = refused
        finally:
            connection.close()

    threads = [threading.Thread(target=run, args=pair) for pair in enumerate(acts)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(timeout=30)
    return answers


def test_one_of_two_closers_closes_and_the_other_is_told_by_whom(technician, owner):
    item = make.make_item()

    def closing(by):
        return lambda: close_item(item=item, by=by, on=make.A_DAY, result=f"Done by {by.first_name}.")

    answers = at_the_same_moment(closing(technician), closing(owner))
    closed = [answer for answer in answers if isinstance(answer, WorkItem)]
    refused = [str(answer) for answer in answers if isinstance(answer, Blocked)]
    assert (len(closed), len(refused)) == (1, 1)
    item.refresh_from_db()
    assert refused[0].startswith(f"{item.closed_by.get_full_name()} closed “Lubricate the action” on")
    assert item.history.filter(state="done").count() == 1


def test_nothing_closes_on_top_of_what_is_being_reopened(technician, owner):
    lubricate = make.make_item()
    weigh = make.make_item(order=lubricate.order, name="Set the touch weight", needs=[lubricate])
    close_item(item=lubricate, by=technician, on=make.A_DAY, result="Done.")
    at_the_same_moment(
        lambda: reopen_item(item=lubricate, reason="Sluggish again.", by=owner, on=make.A_DAY),
        lambda: close_item(item=weigh, by=technician, on=make.A_DAY, result="Weighed."),
    )
    states = {item.name: item.state for item in WorkItem.objects.all()}
    assert states in (
        {"Lubricate the action": "open", "Set the touch weight": "open"},
        {"Lubricate the action": "done", "Set the touch weight": "done"},
    )
