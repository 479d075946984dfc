"""The quick forms of bars 17, 24 and 25; the whole of them is measured by `python -m tests.trust`."""

import pytest
from django.db import connection
from django.http import HttpResponse
from django.test import Client
from django.urls import path, reverse

from tests.access_table import ACCESS
from tests.test_access import Watch, addresses
from tests.trust import access_forgery as forgery
from tests.trust import access_headers as headers
from tests.trust import access_matrix as matrix

pytestmark = pytest.mark.django_db


@pytest.fixture(scope="module")
def ground(standing):
    """Each test leaves it as it was: what it does is undone."""
    return matrix.make_ground()


def test_what_is_anothers_answers_like_what_is_not_there(ground):
    seen = matrix.Seen()
    matrix.foreign_alike(ground, seen)
    matrix.guessed_tokens(ground, seen, each=20)
    matrix.media_paths(ground, seen)
    assert seen.faults == [] and seen.probes > 150


def test_a_view_whose_guard_is_taken_away_is_found(ground):
    assert len(matrix.guard_taken_away(ground)) == 2  # the technician and sales


def test_a_new_address_without_a_rule_is_found(monkeypatch):
    assert matrix.without_rule() == []
    found = addresses() | {"shop:new": path("new/", HttpResponse)}
    monkeypatch.setattr(matrix, "addresses", lambda: found)
    assert matrix.without_rule() == ["shop:new"]


def test_forged_forms_are_refused_and_their_like_is_let_through_where_nothing_looks(ground):
    unsafe = forgery.unsafe_addresses(ground)
    few = dict(list(unsafe.items())[::5])
    assert len(unsafe) > 150 and set(unsafe) > {
        name for name, (method, _) in ACCESS.items() if method == "POST"
    }
    assert forgery.forge(ground, few).faults == []
    assert forgery.check_taken_away(ground, unsafe) > 0


def test_a_page_that_writes_when_it_is_read_is_seen(ground):
    assert forgery.page_that_writes(ground) == 1


def test_hosts_ways_back_and_forwarded_headers_turn_nothing(ground):
    seen = headers.Probed()
    headers.hosts(ground, seen)
    headers.ways_back(ground, seen)
    headers.cookies_over_https(ground, seen)
    assert seen.faults == [] and seen.probes > 150
    assert headers.header_taken_away(ground) > 0


def test_reading_without_a_session_writes_nothing(db):
    with connection.execute_wrapper(watch := Watch()):
        for name in ("login", "window", "ask", "password_forgotten", "robots", "sitemap"):
            Client().get(reverse(name))
    assert watch.written == []
