"""Tables are changed while people read: who stood across the way of that is answered on a second try."""

import threading
import time

import pytest
from django.db import DatabaseError, OperationalError, connection, transaction
from django.http import HttpResponse
from django.test import RequestFactory
from django.urls import reverse

from shop.not_now import NotNow
from tests import make

PATIENCE_SECONDS = 30
HELD_BY_WHO_WAITS = """
    SELECT held.relation::regclass::text FROM pg_locks AS waiting JOIN pg_locks AS held USING (pid)
    JOIN pg_class ON pg_class.oid = held.relation AND relkind = 'r'
    WHERE NOT waiting.granted AND waiting.relation = 'instruments_recording'::regclass AND held.granted
"""


class Deadlock(Exception):
    sqlstate = "40P01"


def gives_way_at_first(times: int):
    """NotNow before a view that gives way so often, and the tries there were."""
    tries = []

    def view(request):
        tries.append(request.method)
        if len(tries) > times:
            return HttpResponse("All well.")
        error = OperationalError("deadlock detected")
        error.__cause__ = Deadlock()
        return door.process_exception(request, error)

    door = NotNow(view)
    return door, tries


@pytest.mark.parametrize(("times", "status", "tries"), [(0, 200, 1), (1, 200, 2), (2, 503, 2)])
def test_who_only_reads_is_answered_on_a_second_try_and_no_third(times, status, tries):
    door, tried = gives_way_at_first(times)
    assert (door(RequestFactory().get("/")).status_code, len(tried)) == (status, tries)


def test_what_changes_something_is_not_tried_again_by_itself():
    door, tried = gives_way_at_first(1)
    answer = door(RequestFactory().post("/people/new/", {"name": "Nell"}))
    assert (answer.status_code, tried) == (503, ["POST"])
    assert "Too many are saving at once" in answer.text and 'value="Nell"' in answer.text


def change_tables_across(wrong: list[Exception]) -> None:
    """Take the recordings, and when a page waits for them, what it holds itself; as a migration might."""
    try:
        with transaction.atomic(), connection.cursor() as cursor:
            cursor.execute("LOCK TABLE instruments_recording")
            recordings_are_taken.set()
            until = time.monotonic() + PATIENCE_SECONDS
            while not (held := cursor.execute(HELD_BY_WHO_WAITS).fetchall()):
                assert time.monotonic() < until, "Nobody waits for the recordings."
                time.sleep(0.01)
            cursor.execute(f"LOCK TABLE {held[0][0]}")
    except (AssertionError, DatabaseError) as error:
        wrong.append(error)
    finally:
        recordings_are_taken.set()
        connection.close()


recordings_are_taken = threading.Event()


@pytest.mark.both
@pytest.mark.django_db(transaction=True)
@pytest.mark.skipif(connection.vendor != "postgresql", reason="SQLite has no locks on tables")
def test_page_is_read_across_a_change_of_tables(client, owner, caplog):
    client.force_login(owner)
    page, wrong = reverse("instrument", args=[make.make_instrument().stock_number]), []
    changing = threading.Thread(target=change_tables_across, args=[wrong])
    changing.start()
    recordings_are_taken.wait()
    answer = client.get(page)
    changing.join()
    assert (wrong, answer.status_code) == ([], 200)
    assert "this one gave way" in caplog.text
