import sqlite3

import pytest
from django.core.exceptions import ImproperlyConfigured
from django.db import OperationalError, connection

from shop import checks, serving
from shop.db.append_only import remove_guards
from shop.serving import refuse_unsound_ground

sqlite_only = pytest.mark.skipif("connection.vendor != 'sqlite'", reason="about SQLite's own settings")


def ids(messages) -> list[str]:
    return [message.id for message in messages]


@pytest.fixture
def sqlite_settings(settings, monkeypatch):
    """The settings as they are, to be changed by one test."""
    changed = settings.DATABASES["default"] | {"OPTIONS": {"transaction_mode": "IMMEDIATE"}}
    monkeypatch.setitem(settings.DATABASES, "default", changed)
    return settings


def test_settings_as_shipped_are_sound():
    assert checks.check_settings() == []


@pytest.mark.django_db
@pytest.mark.both
def test_database_as_shipped_is_sound():
    assert checks.check_database(databases=["default"]) == []


def test_database_is_not_asked_unless_it_is_named():
    """`manage.py check` alone must work without a database."""
    assert checks.check_database(databases=None) == []


@sqlite_only
def test_old_sqlite_is_warned_of_by_its_version(monkeypatch):
    monkeypatch.setattr(sqlite3, "sqlite_version_info", (3, 40, 1))
    monkeypatch.setattr(sqlite3, "sqlite_version", "3.40.1")
    (message,) = checks.check_settings()
    assert (message.id, message.msg[:13]) == ("shop.W001", "SQLite 3.40.1")


@sqlite_only
def test_deferred_transactions_are_an_error(sqlite_settings):
    sqlite_settings.DATABASES["default"]["OPTIONS"] = {}
    assert ids(checks.check_settings()) == ["shop.E002"]


@sqlite_only
def test_a_transaction_around_every_page_is_an_error(sqlite_settings):
    sqlite_settings.DATABASES["default"]["ATOMIC_REQUESTS"] = True
    assert ids(checks.check_settings()) == ["shop.E006"]


@sqlite_only
@pytest.mark.django_db(transaction=True)
def test_not_waiting_for_the_disk_is_an_error():
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA synchronous=NORMAL")
    found = ids(checks.check_database(databases=["default"]))
    connection.close()  # the next one starts with the shipped settings
    assert found == ["shop.E004"]


@sqlite_only
@pytest.mark.django_db(transaction=True)
def test_another_journal_is_an_error(tmp_path, monkeypatch):
    """On a file of its own: nobody else may have a database open whose journal changes."""
    apart = connection.copy()
    apart.settings_dict = connection.settings_dict | {"NAME": tmp_path / "apart.sqlite3"}
    with apart.cursor() as cursor:
        cursor.execute("PRAGMA journal_mode=DELETE")
    monkeypatch.setattr(checks, "connection", apart)
    found = ids(checks.check_database(databases=["default"]))
    apart.close()
    assert found == ["shop.E003"]


@pytest.mark.django_db
@pytest.mark.both
def test_unguarded_records_are_an_error_that_names_the_tables():
    remove_guards(using="default")
    (message,) = checks.check_database(databases=["default"])
    assert message.id == "shop.E005"
    assert "shop_payment" in message.msg


@pytest.mark.django_db
def test_a_migrate_that_was_cut_off_is_not_kept_from_going_on(monkeypatch):
    """A new table has no guards until `migrate` ends, and it is `migrate` that has to be run again."""
    remove_guards(using="default")
    assert [each.id for each in checks.check_database(databases=["default"])] == ["shop.E005"]
    monkeypatch.setattr("sys.argv", ["manage.py", "migrate"])
    assert checks.check_database(databases=["default"]) == []


@pytest.mark.django_db(transaction=True)
def test_server_starts_and_waits_for_a_database_that_does_not_answer_yet(monkeypatch, caplog):
    def silent(**kwargs):
        raise OperationalError("connection refused")

    monkeypatch.setattr(serving, "check_database", silent)
    refuse_unsound_ground()
    assert "does not answer yet" in caplog.text


@pytest.mark.django_db(transaction=True)
def test_server_starts_on_sound_ground():
    refuse_unsound_ground()


@sqlite_only
@pytest.mark.django_db(transaction=True)
def test_server_does_not_start_several_processes_on_an_old_sqlite(monkeypatch):
    monkeypatch.setattr(sqlite3, "sqlite_version_info", (3, 40, 1))
    with pytest.raises(ImproperlyConfigured, match=r"shop\.W001"):
        refuse_unsound_ground()
    monkeypatch.setenv("WRESTPLANK_ONE_PROCESS", "yes")
    refuse_unsound_ground()


@pytest.mark.django_db(transaction=True)
def test_server_does_not_start_where_records_are_unguarded(monkeypatch):
    monkeypatch.setenv("WRESTPLANK_ONE_PROCESS", "yes")
    remove_guards(using="default")
    with pytest.raises(ImproperlyConfigured, match=r"shop\.E005"):
        refuse_unsound_ground()
