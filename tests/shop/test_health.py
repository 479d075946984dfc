import pytest
from django.db import OperationalError

from shop.views import health as health_module

pytestmark = pytest.mark.django_db


class SilentDatabase:
    def cursor(self):
        raise OperationalError("connection refused at 10.0.0.7, user postgres")


def test_health_is_there_for_anybody_who_asks(client):
    answer = client.get("/healthz")
    assert (answer.status_code, answer.content) == (200, b"Well.\n")


def test_health_says_when_the_database_is_silent_and_nothing_about_it(client, monkeypatch):
    monkeypatch.setattr(health_module, "connection", SilentDatabase())
    answer = client.get("/healthz")
    assert (answer.status_code, answer.content) == (503, b"The database does not answer.\n")


def test_health_is_never_kept_by_a_cache(client):
    assert "no-store" in client.get("/healthz")["Cache-Control"]


def test_health_takes_no_form(client):
    assert client.post("/healthz").status_code == 405
