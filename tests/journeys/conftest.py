"""Browsers of the shop's people, logged in by their session where the login page is not the point."""

import pytest
from django.conf import settings
from django.test import Client


@pytest.fixture
def open_for(open_page, live_server):
    def open_one(user, **options):
        page, client = open_page(**options), Client()
        client.force_login(user)
        session = client.cookies[settings.SESSION_COOKIE_NAME].value
        page.context.add_cookies(
            [{"name": settings.SESSION_COOKIE_NAME, "value": session, "url": live_server.url}]
        )
        return page

    return open_one
