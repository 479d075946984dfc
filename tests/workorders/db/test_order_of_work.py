"""Lubricate before touch weight, said by the database itself: what is written past the actions is refused."""

import pytest
from django.db import IntegrityError, connection, transaction
from django.utils import timezone

from tests import make
from workorders.actions.items import close_item
from workorders.db.order_of_work import GUARDS, guards_missing, install_guards, remove_guards
from workorders.models import WorkItem, WorkOrder

pytestmark = [pytest.mark.django_db, pytest.mark.both]


@pytest.fixture
def weigh():
    lubricate = make.make_item(name="Lubricate the action")
    return make.make_item(order=lubricate.order, name="Set the touch weight", needs=[lubricate])


def written(rows, **values):
    """Past every action, by UPDATE alone."""
    with transaction.atomic():
        return rows.update(**values)


def as_done(by):
    return {"state": "done", "result": "Weighed.", "closed_at": timezone.now(), "closed_by": by}


def test_no_item_is_done_while_what_must_come_first_is_open(owner, weigh):
    with pytest.raises(IntegrityError, match="What must come first is still open"):
        written(WorkItem.objects.filter(pk=weigh.pk), **as_done(owner))
    close_item(item=weigh.needs.get(), by=owner, on=make.A_DAY, result="Done.")
    assert written(WorkItem.objects.filter(pk=weigh.pk), **as_done(owner)) == 1


def test_both_at_once_are_not_done_in_the_wrong_order(owner, weigh):
    close_item(item=weigh.needs.get(), by=owner, on=make.A_DAY, result="Done.")
    close_item(item=weigh, by=owner, on=make.A_DAY, result="Weighed.")
    with pytest.raises(IntegrityError, match="What must come first is still open"):
        written(
            WorkItem.objects.filter(name="Lubricate the action"), state="open", closed_at=None, closed_by=None
        )


def test_nothing_open_comes_before_what_is_done(owner, weigh):
    close_item(item=weigh.needs.get(), by=owner, on=make.A_DAY, result="Done.")
    close_item(item=weigh, by=owner, on=make.A_DAY, result="Weighed.")
    later = make.make_item(order=weigh.order, name="Voice")
    with pytest.raises(IntegrityError), transaction.atomic():
        weigh.needs.add(later)
    with pytest.raises(IntegrityError):
        written(WorkItem.needs.through.objects.filter(from_workitem=weigh), to_workitem=later)


def test_no_order_is_ready_over_required_work(owner, weigh):
    ready = {"state": "ready", "closed_at": timezone.now(), "closed_by": owner}
    with pytest.raises(IntegrityError, match="Required work in it is still open"):
        written(WorkOrder.objects.filter(pk=weigh.order_id), **ready)
    written(WorkItem.objects.all(), is_required=False)
    written(WorkOrder.objects.filter(pk=weigh.order_id), **ready)
    with pytest.raises(IntegrityError, match="Required work in it is still open"):
        written(WorkItem.objects.all(), is_required=True)
    with pytest.raises(IntegrityError, match="Required work in it is still open"), transaction.atomic():
        make.make_item(order=weigh.order)


def test_guards_are_put_back_where_they_went_missing():
    remove_guards(using="default")
    assert guards_missing(connection) == list(GUARDS)
    install_guards(using="default")
    assert guards_missing(connection) == []
