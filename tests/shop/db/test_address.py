import pytest

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
    assert "transaction_mode" not in told.get("OPTIONS", {})
