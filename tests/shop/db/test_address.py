import pytest
from django.db import connection

from shop.db.address import database


@pytest.mark.parametrize("said", [None, "", "  "])
def test_a_shop_that_names_no_database_has_its_own_file(monkeypatch, tmp_path, said):
    monkeypatch.delenv("DATABASE_URL", raising=False)
    if said is not None:
        monkeypatch.setenv("DATABASE_URL", said)
    told = database(tmp_path)
    assert (told["ENGINE"], told["NAME"]) == ("shop.db.sqlite", str(tmp_path / "shop.sqlite3"))
    assert told["OPTIONS"]["transaction_mode"] == "IMMEDIATE"


def test_postgresql_is_named_by_its_address(monkeypatch, tmp_path):
    monkeypatch.setenv("DATABASE_URL", "postgres://ada@db.example/shop")
    told = database(tmp_path)
    assert (told["ENGINE"], told["HOST"]) == ("django.db.backends.postgresql", "db.example")
    assert "transaction_mode" not in told["OPTIONS"]


def test_postgresql_compiles_no_question_and_looks_rows_up_unless_it_is_told_otherwise(monkeypatch, tmp_path):
    monkeypatch.setenv("DATABASE_URL", "postgres://ada@localhost/shop")
    monkeypatch.delenv("PGOPTIONS", raising=False)
    assert database(tmp_path)["OPTIONS"]["options"] == "-c jit=off -c random_page_cost=1.1"
    monkeypatch.setenv("DATABASE_URL", "postgres://ada@localhost/shop?options=-c%20jit%3Don")
    assert database(tmp_path)["OPTIONS"]["options"] == "-c jit=on"


def test_what_the_surroundings_ask_of_postgresql_is_asked_too(monkeypatch, tmp_path):
    monkeypatch.setenv("DATABASE_URL", "postgres://ada@localhost/shop")
    monkeypatch.setenv("PGOPTIONS", "-c lock_timeout=500ms")
    ours = "-c jit=off -c random_page_cost=1.1"
    assert database(tmp_path)["OPTIONS"]["options"] == f"{ours} -c lock_timeout=500ms"


@pytest.mark.django_db
@pytest.mark.skipif(connection.vendor != "postgresql", reason="SQLite compiles nothing")
def test_the_database_of_the_tests_compiles_nothing_and_looks_rows_up():
    with connection.cursor() as cursor:
        cursor.execute("SELECT current_setting('jit'), current_setting('random_page_cost')")
        assert cursor.fetchone() == ("off", "1.1")
