"""Browsers of the shop's people, logged in by their session where the login page is not the point."""

import pytest
from django.conf import settings
from django.test import Client

from tests.access_world import make_world


def log_in(page, client, user, live_server) -> None:
    client.force_login(user)
    session = client.cookies[settings.SESSION_COOKIE_NAME].value
    page.context.add_cookies(
        [{"name": settings.SESSION_COOKIE_NAME, "value": session, "url": live_server.url}]
    )


@pytest.fixture
def open_for(open_page, live_server):
    def open_one(user, **options):
        page = open_page(**options)
        log_in(page, Client(), user, live_server)
        return page

    return open_one


@pytest.fixture
def signed_in(phone, client, owner, live_server):
    """The owner's phone; `client` is logged in with it."""
    log_in(phone, client, owner, live_server)
    return phone


@pytest.fixture
def world(owner):
    return make_world(owner)
