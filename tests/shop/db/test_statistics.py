import pytest
from django.core.management import call_command
from django.db import DatabaseError, connection

from instruments.models import Instrument
from shop import read_only
from shop.db.statistics import keep_statistics
from shop.management.commands import backup
from tests import make

pytestmark = pytest.mark.django_db(transaction=True)
only_sqlite = pytest.mark.skipif(connection.vendor != "sqlite", reason="PostgreSQL looks for itself")
ROWS = 300


def known() -> dict[str, str]:
    """By index, what SQLite has written down of the table of instruments."""
    with connection.cursor() as cursor:
        if "sqlite_stat1" not in _tables(cursor):
            return {}
        cursor.execute("SELECT idx, stat FROM sqlite_stat1 WHERE tbl = 'instruments_instrument'")
        return dict(cursor.fetchall())


def _tables(cursor) -> set[str]:
    cursor.execute("SELECT name FROM sqlite_master")
    return {name for (name,) in cursor.fetchall()}


@pytest.fixture
def full():
    one = make.make_instrument()
    kept = {name: getattr(one, name) for name in ("maker", "made", "kind", "key_count", "logged_by")}
    Instrument.objects.bulk_create(Instrument(stock_number=f"26-{n:04}", **kept) for n in range(2, ROWS + 1))
    if connection.vendor == "sqlite" and known():
        with connection.cursor() as cursor:
            cursor.execute("DELETE FROM sqlite_stat1")


@only_sqlite
def test_a_nightly_backup_lets_the_database_look_at_its_tables(full, tmp_path):
    assert known() == {}
    call_command("backup", str(tmp_path / "shop.tar"), verbosity=0)
    assert known()["instrument_by_kind"].startswith(f"{ROWS} ")


@only_sqlite
def test_so_does_the_step_after_an_update(full):
    call_command("prepare_shop", verbosity=0)
    assert known()["instrument_by_kind"].startswith(f"{ROWS} ")


@only_sqlite
def test_a_shop_that_may_only_be_read_is_left_alone(full, tmp_path, monkeypatch):
    monkeypatch.setattr(read_only, "reason", lambda: "it is being restored")
    call_command("backup", str(tmp_path / "shop.tar"), verbosity=0)
    assert known() == {}


def test_a_backup_stands_though_the_database_could_not_look(tmp_path, monkeypatch, capsys):
    def refuse():
        raise DatabaseError("database is locked")

    monkeypatch.setattr(backup, "keep_statistics", refuse)
    call_command("backup", str(tmp_path / "shop.tar"), verbosity=0)
    assert (tmp_path / "shop.tar").exists()
    assert "could not look at its tables: database is locked" in capsys.readouterr().err


def test_it_can_be_done_on_either_database(full):
    keep_statistics()
    assert Instrument.objects.count() == ROWS
