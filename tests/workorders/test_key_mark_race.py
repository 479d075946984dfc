"""Two people mark the same key at the same moment, or make the same work of it: it is done once."""

import pytest

from instruments.actions.key_marks import KeysMarked, mark_keys
from instruments.models import KeyMark
from instruments.problems import Blocked
from tests import make
from tests.workorders.test_item_close_race import at_the_same_moment
from workorders.actions.from_findings import Wanted, work_from_findings
from workorders.models import ItemKeyMark, WorkItem, WorkOrder

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.both]


def test_one_of_two_marks_the_key_and_the_other_learns_that_it_is_marked(technician, owner):
    piano = make.make_instrument(by=owner)

    def marking(by):
        return lambda: mark_keys(instrument=piano, keys=[40], fault="sticks", by=by, on=make.A_DAY)

    answers = at_the_same_moment(marking(technician), marking(owner))
    assert all(isinstance(answer, KeysMarked) for answer in answers)
    assert sorted(len(answer.new) for answer in answers) == [0, 1]
    assert KeyMark.objects.count() == 1


def test_one_of_two_makes_the_work_and_the_other_is_told(technician, owner):
    piano, task = make.make_instrument(by=owner), make.make_task(code="ease-keys", name="Ease the keys")
    marks = mark_keys(instrument=piano, keys=[40], fault="sticks", by=owner, on=make.A_DAY).new

    def making(by):
        wanted = [Wanted(task, (), tuple(marks))]
        return lambda: work_from_findings(
            instrument=piano, wanted=wanted, by=by, on=make.A_DAY, title="Found"
        )

    answers = at_the_same_moment(making(technician), making(owner))
    assert sum(isinstance(answer, Blocked) for answer in answers) == 1
    assert [model.objects.count() for model in (WorkOrder, WorkItem, ItemKeyMark)] == [1, 1, 1]
