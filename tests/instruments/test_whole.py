"""An act that is a part of another sets no savepoint, and what it refuses undoes the whole."""

import pytest
from django.db import connection, transaction
from django.db.transaction import TransactionManagementError
from django.test.utils import CaptureQueriesContext

from instruments.actions.whole import whole
from instruments.models import NumberSeries
from instruments.problems import Refused


@whole
def part(name: str, *, refused: bool = False) -> None:
    NumberSeries.objects.create(series=name, year=1)
    if refused:
        raise Refused("Not this.")


@whole
def act(*, refused: bool = False) -> None:
    part("first")
    part("second", refused=refused)


def savepoints(do) -> int:
    with CaptureQueriesContext(connection) as asked:
        do()
    return sum(query["sql"].startswith("SAVEPOINT") for query in asked.captured_queries)


@pytest.mark.django_db
def test_an_act_by_itself_is_undone_alone_where_a_test_goes_on():
    with pytest.raises(Refused):
        act(refused=True)
    assert not NumberSeries.objects.filter(series__in=["first", "second"]).exists()
    assert savepoints(act) == 1  # inside the transaction of this test


@pytest.mark.django_db(transaction=True)
def test_the_parts_of_an_act_set_no_savepoint():
    assert savepoints(act) == 0
    assert NumberSeries.objects.filter(series__in=["first", "second"]).count() == 2


@pytest.mark.django_db(transaction=True)
def test_what_a_part_refuses_undoes_the_whole_act():
    with pytest.raises(Refused):
        act(refused=True)
    assert not NumberSeries.objects.filter(series="first").exists()


@pytest.mark.django_db(transaction=True)
def test_nobody_goes_on_after_a_part_that_was_refused():
    with pytest.raises(TransactionManagementError), transaction.atomic():
        part("first")
        with pytest.raises(Refused):
            part("second", refused=True)
        part("third")
    assert not NumberSeries.objects.exists()


@pytest.mark.django_db(transaction=True)
def test_an_act_goes_on_without_a_part_for_which_it_set_a_savepoint():
    with transaction.atomic():
        with pytest.raises(Refused), transaction.atomic():
            part("first", refused=True)
        part("second")
    assert [each.series for each in NumberSeries.objects.all()] == ["second"]
