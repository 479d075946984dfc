"""What the cookie says of when a session was last used is read once, and holds for that session alone."""

import pytest
from django.core import signing
from django.urls import reverse

from shop.security import sessions

pytestmark = pytest.mark.django_db
PASSWORD = "slate-otter-ferry-20"


@pytest.fixture
def signed_in(client, owner):
    owner.set_password(PASSWORD)
    owner.save()
    client.post(reverse("login"), {"username": "olive", "password": PASSWORD})
    return client


@pytest.fixture
def readings(monkeypatch):
    """The cookies whose signature is looked at."""
    read, loads = [], signing.loads

    def reading(cookie, **how):
        if how.get("salt") == sessions.SALT:
            read.append(cookie)
        return loads(cookie, **how)

    monkeypatch.setattr(signing, "loads", reading)
    sessions._seen_by.cache_clear()
    return read


def test_a_cookie_that_comes_again_is_not_read_again(signed_in, readings):
    for _ in range(3):
        assert signed_in.get(reverse("stock")).status_code == 200
    assert readings == [signed_in.cookies[sessions.COOKIE].value]


def test_another_session_gains_nothing_by_what_was_read_of_one(signed_in, readings):
    request = type("Asked", (), {"COOKIES": {sessions.COOKIE: signed_in.cookies[sessions.COOKIE].value}})
    seen = {}
    for key in (signed_in.session.session_key, "another"):
        request.session = type("Kept", (), {"session_key": key})
        seen[key] = sessions._seen(request)
    assert seen[signed_in.session.session_key] > 0 == seen["another"]


def test_what_a_key_signed_that_is_known_no_more_is_worth_nothing(signed_in, readings, settings):
    signed_in.get(reverse("stock"))
    request = type("Asked", (), {"COOKIES": {sessions.COOKIE: signed_in.cookies[sessions.COOKIE].value}})
    request.session = signed_in.session
    assert sessions._seen(request) > 0
    settings.SECRET_KEY = "n" * 60
    assert sessions._seen(request) == 0
