"""A question that is put into SQL once finds what the queryset would have found, each time anew."""

from threading import Thread

import pytest
from django.db import connection, transaction
from django.db.transaction import TransactionManagementError

from instruments.models import Instrument, NumberSeries, Photo
from instruments.models.worded import ASKED, Worded
from tests import make
from workorders.models import WorkItem

pytestmark = [pytest.mark.django_db, pytest.mark.both]
JOINED = ("order__instrument", "closed_by", "assigned_to")


def test_what_it_joins_comes_with_it_and_what_is_not_there_is_none(django_assert_num_queries):
    item = make.make_item()
    question = Worded.of(WorkItem.objects.select_related(*JOINED).filter(pk=ASKED))
    with django_assert_num_queries(1):
        (found,) = question.asking(item.pk).found()
        assert (found.order.instrument.made, found.closed_by) == (item.order.instrument.made, None)
    (alone,) = WorkItem.objects.select_related(*JOINED).filter(pk=item.pk)
    assert {**vars(found), "_state": 0} == {**vars(alone), "_state": 0}
    assert (found._state.db, found._state.adding) == ("default", False)


def test_it_is_asked_anew_and_keeps_nothing_of_an_answer():
    piano = make.make_instrument()
    question = Worded.of(Instrument.objects.filter(pk=ASKED)).asking(piano.pk)
    (before,) = question.found()
    Instrument.objects.filter(pk=piano.pk).update(model="Other")
    (after,) = question.found()
    assert (before.model, after.model) == (piano.model, "Other")


def test_values_are_read_as_the_queryset_reads_them():
    piano = make.make_instrument()
    values = Instrument.objects.filter(pk=ASKED).values_list("logged_at", "touch_bass_g", "stock_number")
    (logged_at, touch_bass_g, stock_number) = Worded.of(values).asking(piano.pk).found()[0]
    assert (logged_at, touch_bass_g) == (piano.logged_at, piano.touch_bass_g)
    assert stock_number == piano.stock_number


@pytest.mark.parametrize("key", [0, -2, 2**63, -(2**70), 10**30])
def test_any_number_may_be_asked_for(key):
    assert Worded.of(Photo.objects.filter(pk=ASKED)).asking(key).found() == []


def test_what_can_have_no_answer_has_none():
    assert Worded.of(Photo.objects.none()).asking(1).found() == []


@pytest.mark.django_db(transaction=True)
def test_what_one_thread_put_into_words_another_asks():
    NumberSeries.objects.create(series="try", year=2026, last=4)
    made, found = [], []
    rows = NumberSeries.objects.filter(pk=ASKED)

    def run(act) -> None:
        def whole() -> None:
            act()
            connection.close()

        thread = Thread(target=whole)
        thread.start()
        thread.join()

    run(lambda: made.append(Worded.of(rows)))
    key = NumberSeries.objects.get(series="try").pk
    run(lambda: found.extend(made[0].asking(key).found()))
    assert [each.last for each in found] == [4]


@pytest.mark.django_db(transaction=True)
def test_a_row_is_held_only_inside_a_transaction():
    series = NumberSeries.objects.create(series="try", year=2026)
    with transaction.atomic():
        question = Worded.of(NumberSeries.objects.select_for_update().filter(pk=ASKED)).asking(series.pk)
        assert question.first() == series
    with pytest.raises(TransactionManagementError):
        question.found()
