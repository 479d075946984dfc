"""Writers at the same time, each in a thread with a connection of its own, on a database file."""

import threading
import time

import pytest
from django.db import connections, transaction
from django.db.utils import OperationalError

from shop.db.sqlite import gate as gate_module
from shop.db.sqlite.gate import DatabaseBusy, Gate

WRITERS, TURNS = 8, 12
FULL_WAL = "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL;"


@pytest.fixture
def open_database(tmp_path, django_db_blocker):
    """Make `connections["race"]` a database file of one's own; gives back its path."""

    def open_one(name=None, engine="shop.db.sqlite", **options):
        options = {"timeout": 20, "transaction_mode": "IMMEDIATE", "init_command": FULL_WAL} | options
        database = {"ENGINE": engine, "NAME": name or tmp_path / "race.sqlite3", "OPTIONS": options}
        connections.settings["race"] = connections.configure_settings({"default": database})["default"]
        with connections["race"].cursor() as cursor:
            cursor.execute("CREATE TABLE IF NOT EXISTS till (pennies integer NOT NULL)")
            cursor.execute("INSERT INTO till VALUES (0)")
        return tmp_path / "race.sqlite3"

    with django_db_blocker.unblock():
        yield open_one
        connections["race"].close()
        del connections["race"], connections.settings["race"]


def add_a_penny():
    """Read, think, write: what every payment does."""
    with transaction.atomic(using="race"), connections["race"].cursor() as cursor:
        pennies = cursor.execute("SELECT pennies FROM till").fetchone()[0]
        time.sleep(0.002)
        cursor.execute("UPDATE till SET pennies = %s", [pennies + 1])


def write_from_many_threads(order: list[str] | None = None) -> list[str]:
    """What went wrong; `order` is told whose turn each was."""
    failures, order, together = [], [] if order is None else order, threading.Barrier(WRITERS)

    def write():
        together.wait()
        for _ in range(TURNS):
            try:
                add_a_penny()
                order.append(threading.current_thread().name)
            except OperationalError as error:
                failures.append(str(error))
        connections["race"].close()

    writers = [threading.Thread(target=write) for _ in range(WRITERS)]
    for writer in writers:
        writer.start()
    for writer in writers:
        writer.join()
    return failures


def pennies_in_the_till() -> int:
    with connections["race"].cursor() as cursor:
        return cursor.execute("SELECT pennies FROM till").fetchone()[0]


def test_eight_writers_lose_nothing_and_meet_no_lock(open_database):
    open_database()
    failures = write_from_many_threads()
    assert (failures, pennies_in_the_till()) == ([], WRITERS * TURNS)


def test_on_the_plain_backend_the_same_writers_do_fail(open_database):
    """The control: the harness can see the fault that the gate and the settings prevent."""
    open_database(engine="django.db.backends.sqlite3", transaction_mode=None)
    failures = write_from_many_threads()
    assert "database is locked" in failures


def test_no_writer_keeps_the_others_out(open_database):
    """When the first writer is through with all its turns, the others are well on with theirs.

    In strict turns that is at the end; where each holds on until it is through, after an eighth.
    """
    open_database()
    order = []
    write_from_many_threads(order)
    first_to_finish = min(max(index for index, who in enumerate(order) if who == name) for name in set(order))
    assert first_to_finish > len(order) / 3


def test_writer_that_waited_too_long_is_told_that_the_database_is_busy(open_database, monkeypatch):
    path = open_database()
    monkeypatch.setattr(gate_module, "LONGEST_WAIT_SECONDS", 0.05)
    other = Gate(path)
    other.take()
    with pytest.raises(DatabaseBusy, match="Other writers held the database"):
        add_a_penny()
    other.close()
    add_a_penny()
    assert pennies_in_the_till() == 1


def test_gate_is_left_when_the_transaction_fails(open_database):
    open_database()
    with pytest.raises(ZeroDivisionError), transaction.atomic(using="race"):
        assert connections["race"].gate.is_held
        raise ZeroDivisionError
    assert not connections["race"].gate.is_held


def test_gate_is_held_until_the_outermost_block_ends(open_database):
    open_database()
    with transaction.atomic(using="race"):
        with transaction.atomic(using="race"):
            add_a_penny()
        assert connections["race"].gate.is_held
    assert not connections["race"].gate.is_held


def test_gate_is_left_when_the_connection_is_closed_inside_a_transaction(open_database):
    path = open_database()
    with pytest.raises(OperationalError), transaction.atomic(using="race"):
        connections["race"].close()
        raise OperationalError("the server went away")
    other = Gate(path)
    other.take()
    assert other.is_held
    other.close()


def test_reading_takes_no_gate(open_database):
    open_database()
    assert pennies_in_the_till() == 0
    assert connections["race"].gate is None


def test_database_in_memory_has_no_gate(open_database):
    open_database(name=":memory:")
    with transaction.atomic(using="race"):
        assert connections["race"].gate is None


def test_gate_in_a_folder_that_cannot_be_written_is_a_database_error(tmp_path):
    with pytest.raises(OperationalError, match="cannot be opened"):
        Gate(tmp_path / "absent" / "shop.sqlite3").take()


def test_gate_files_are_for_this_user_alone(open_database):
    path = open_database()
    add_a_penny()
    beside = [path.with_name(path.name + ending) for ending in gate_module.ENDINGS]
    assert [file.stat().st_mode & 0o077 for file in beside] == [0, 0]
