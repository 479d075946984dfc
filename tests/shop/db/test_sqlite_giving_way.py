"""While a thread of a process holds the database the others ask nothing, and nobody is kept out for long."""

import threading
import time

import pytest
from django.db import connections, transaction

from shop.db.sqlite import giving_way
from shop.db.sqlite.giving_way import Way, way_at
from tests.shop.db.test_sqlite_gate import open_database  # noqa: F401

HELD_SECONDS = 0.2


@pytest.fixture
def patient(monkeypatch):
    """Nobody loses patience while a test looks."""
    monkeypatch.setattr(giving_way, "LONGEST_SECONDS", 30)


def beside(act) -> threading.Thread:
    thread = threading.Thread(target=act)
    thread.start()
    return thread


def seconds_of(act) -> float:
    began = time.monotonic()
    act()
    return time.monotonic() - began


def held_by_another(way: Way) -> None:
    way.take()
    way.holder = 0  # no thread has this number


def test_whoever_asks_waits_until_the_holder_is_done(patient):
    way, order = Way(), []
    held_by_another(way)
    asking = beside(lambda: (way.give(), order.append("asked")))
    time.sleep(HELD_SECONDS)
    order.append("held")
    way.leave()
    asking.join(timeout=10)
    assert order == ["held", "asked"]


def test_the_holder_does_not_wait_for_itself(patient):
    way = Way()
    way.take()
    assert seconds_of(way.give) < 5


def test_nobody_waits_where_nobody_holds_it(patient):
    way = Way()
    held_by_another(way)
    way.leave()
    assert seconds_of(way.give) < 5


def test_a_long_act_keeps_nobody_for_long():
    way = Way()
    held_by_another(way)
    assert giving_way.LONGEST_SECONDS * 0.9 <= seconds_of(way.give) < 5


def test_whoever_has_waited_goes_on_for_as_long(monkeypatch):
    way = Way()
    held_by_another(way)
    monkeypatch.setattr(giving_way, "LONGEST_SECONDS", HELD_SECONDS)
    way.give()
    monkeypatch.setattr(giving_way, "LONGEST_SECONDS", 30)
    assert seconds_of(way.give) < 5
    monkeypatch.setattr(way.own, "goes_on_until", 0.0)
    monkeypatch.setattr(giving_way, "LONGEST_SECONDS", HELD_SECONDS)
    assert seconds_of(way.give) >= HELD_SECONDS * 0.9


def test_a_page_gives_way_to_a_transaction_and_is_free_once_it_commits(patient, open_database):  # noqa: F811
    way, order, begun = way_at(str(open_database())), [], threading.Event()

    def read():
        try:
            begun.wait(10)
            with connections["race"].cursor() as cursor:
                cursor.execute("SELECT pennies FROM till")
                order.append("read")
        finally:
            connections["race"].close()

    reading = beside(read)
    with transaction.atomic(using="race"), connections["race"].cursor() as cursor:
        cursor.execute("UPDATE till SET pennies = 1")
        begun.set()
        time.sleep(HELD_SECONDS)
        order.append("written")
    reading.join(timeout=10)
    assert order == ["written", "read"]
    assert way.free.is_set()


def test_a_transaction_that_fails_leaves_the_way_free(open_database):  # noqa: F811
    way = way_at(str(open_database()))
    with pytest.raises(ZeroDivisionError), transaction.atomic(using="race"):
        assert not way.free.is_set()
        raise ZeroDivisionError
    assert way.free.is_set()
