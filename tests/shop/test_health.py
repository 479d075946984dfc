import sqlite3
from pathlib import Path

import pytest
from django.db import OperationalError, connection
from django.db.migrations.loader import MigrationLoader

from shop import read_only, readiness

pytestmark = pytest.mark.django_db


class SilentDatabase:
    vendor = "sqlite"

    def cursor(self):
        raise OperationalError("connection refused at 10.0.0.7, user postgres")


@pytest.mark.parametrize(("address", "words"), [("/healthz", b"Well.\n"), ("/readyz", b"Ready.\n")])
def test_anybody_may_ask_and_is_told_one_word(client, address, words):
    answer = client.get(address)
    assert (answer.status_code, answer.content) == (200, words)
    assert "no-store" in answer["Cache-Control"]
    assert client.post(address).status_code == 405


def test_process_is_alive_while_the_database_is_silent_and_not_ready(client, monkeypatch):
    monkeypatch.setattr(readiness, "connection", SilentDatabase())
    assert client.get("/healthz").status_code == 200
    answer = client.get("/readyz")
    assert (answer.status_code, answer.content) == (503, b"Not ready.\n")


def test_not_ready_while_changes_of_the_tables_wait(client, owner, monkeypatch):
    more = readiness.changes_of_this_version() | {("shop", "0099_more")}
    monkeypatch.setattr(readiness, "changes_of_this_version", lambda: more)
    assert client.get("/readyz").content == b"Not ready.\n"
    client.force_login(owner)
    answer = client.get("/readyz")
    assert answer.status_code == 503
    assert "1 changes of the tables wait for `manage.py migrate`: shop 0099_more." in answer.content.decode()


def test_changes_are_those_that_migrate_would_find():
    assert readiness.changes_of_this_version() == MigrationLoader(None).disk_migrations.keys()


def test_not_ready_while_files_cannot_be_kept(client, monkeypatch):
    monkeypatch.setattr(readiness.os, "access", lambda *args: False)
    assert client.get("/readyz").status_code == 503


def test_not_ready_while_the_disk_is_nearly_full(client, monkeypatch):
    monkeypatch.setattr(readiness, "LEAST_FREE_BYTES", 10**18)
    assert client.get("/readyz").status_code == 503


def test_details_are_for_the_owner(client, owner, technician, settings, tmp_path):
    settings.DATA_DIR = Path(tmp_path)
    read_only.begin("the roof is being mended")
    client.force_login(technician)
    assert client.get("/readyz").content == b"Ready.\n"
    client.force_login(owner)
    words = client.get("/readyz").content.decode()
    assert "The database answers" in words and "GB free" in words and "the roof is being mended" in words


@pytest.mark.both
def test_owner_reads_what_it_runs_on(client, owner):
    client.force_login(owner)
    if connection.vendor == "sqlite":
        words = client.get("/readyz").text
        assert f"SQLite {sqlite3.sqlite_version}, journal" in words
        assert "synchronous FULL, transactions IMMEDIATE" in words
        return
    for commit in ("on", "off"):
        with connection.cursor() as cursor:
            cursor.execute(f"SET LOCAL synchronous_commit = {commit}")
        assert f"synchronous_commit {commit}, fsync on" in client.get("/readyz").text
