"""The matrix of role, address and method, made from the addresses themselves."""

import re

import pytest
from django.urls import URLPattern, get_resolver, reverse

from shop.actions.roles import role_table
from tests.access_table import ACCESS, PUBLIC, STAFF
from tests.access_world import ROLES, arguments_for, make_people, make_world

WRITES = re.compile(r"^\s*(INSERT|UPDATE|DELETE|REPLACE|TRUNCATE|ALTER|DROP|CREATE)\b", re.IGNORECASE)


class Watch:
    """Keeps the first words of each statement that writes, while it is laid around the database."""

    def __init__(self):
        self.written: list[str] = []

    def __call__(self, execute, sql, params, many, context):
        if WRITES.match(sql):
            self.written.append(sql[:80])
        return execute(sql, params, many, context)


def addresses(resolver=None, namespace: str = "") -> dict[str, URLPattern]:
    """Every address of the project by its full name; one without a name stands under its pattern."""
    found = {}
    for entry in (resolver or get_resolver()).url_patterns:
        if isinstance(entry, URLPattern):
            found[f"{namespace}{entry.name or entry.pattern}"] = entry
        else:
            inner = f"{namespace}{entry.namespace}:" if entry.namespace else namespace
            found |= addresses(entry, inner)
    return found


def test_every_address_has_a_line_in_the_table_and_every_line_an_address():
    assert set(addresses()) == set(ACCESS)


def test_what_a_stranger_may_see_is_what_the_table_says():
    public = {
        name for name, entry in addresses().items() if not getattr(entry.callback, "login_required", True)
    }
    public |= {"logout"}  # Django's own view, which a stranger may call without effect
    assert public == {name for name, (_, right) in ACCESS.items() if right == PUBLIC}


@pytest.fixture(scope="module")
def people(standing):
    return make_people()


@pytest.fixture(scope="module")
def world(people):
    return make_world(people["Owner"])


def probe(client, name: str, method: str, world):
    url = reverse(name, kwargs=arguments_for(addresses()[name], name, world))
    return client.get(url) if method == "GET" else client.post(url, {})


def may(role: str, right: str) -> bool:
    return right in {PUBLIC, STAFF} or right in role_table()[role]


@pytest.mark.parametrize("role", ROLES)
def test_a_role_reaches_exactly_what_its_work_needs(role, db, client, people, world):
    client.force_login(people[role])
    wrong = []
    for name, (method, right) in ACCESS.items():
        if name in {"login", "logout"}:
            continue
        answer = probe(client, name, method, world)
        if (answer.status_code == 403) == may(role, right) or answer.status_code >= 500:
            wrong.append((name, answer.status_code))
    assert wrong == []


def test_a_stranger_is_sent_to_the_login_from_everything_else(db, client, world):
    wrong = []
    for name, (method, right) in ACCESS.items():
        if right == PUBLIC:
            continue
        answer = probe(client, name, method, world)
        if answer.status_code != 302 or not answer.url.startswith(reverse("login")):
            wrong.append((name, answer.status_code))
    assert wrong == []


def test_cost_prices_and_sellers_reach_no_public_page(db, client, world):
    for name in ("window", "listing_public", "history_public"):
        page = probe(client, name, "GET", world).content.decode()
        assert "Canary Seller" not in page
        assert "1,234.56" not in page


@pytest.mark.parametrize("role", ["Technician", "Sales"])
def test_cost_prices_reach_nobody_whose_work_does_not_need_them(role, db, client, people, world):
    client.force_login(people[role])
    for name, (method, right) in ACCESS.items():
        if method == "GET" and may(role, right):
            assert b"1,234.56" not in probe(client, name, method, world).getvalue(), name


def test_people_are_not_shown_to_a_technician(db, client, people, world):
    client.force_login(people["Technician"])
    for name, (method, right) in ACCESS.items():
        if method == "GET" and may("Technician", right):
            assert b"Canary Customer" not in probe(client, name, method, world).getvalue(), name
