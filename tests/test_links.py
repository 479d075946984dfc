"""No page leads anybody to a door that is shut to them: every link and form on it, by role."""

import re
from urllib.parse import urlsplit

import pytest
from django.urls import Resolver404, resolve, reverse

from tests import make
from tests.access_table import ACCESS
from tests.access_world import ROLES, arguments_for, make_people, make_world
from tests.test_access import addresses, may

pytestmark = pytest.mark.django_db

LEADS_ON = re.compile(r'(?:href|action|hx-get|hx-post)="(/[^"]*)"')
# The row decides: a part exchange's invoice is for whoever sells, any other for those who see costs.
BY_THE_ROW = {"shop:purchase_invoice"}


@pytest.fixture(scope="module")
def people(standing):
    return make_people()


@pytest.fixture(scope="module")
def world(people):
    return make_world(people["Owner"])


def names_on(page: str) -> set[str]:
    """The address names that a page leads to, each once."""
    found = set()
    for address in set(LEADS_ON.findall(page)):
        try:
            found.add(resolve(urlsplit(address).path).view_name)
        except Resolver404:
            continue  # a file, a picture of the style
    return found


@pytest.mark.parametrize("role", ROLES)
def test_no_page_leads_to_a_refusal(role, client, people, world):
    client.force_login(people[role])
    refused = set()
    pages = [
        (name, reverse(name, kwargs=arguments_for(addresses()[name], name, world)))
        for name, (method, right) in ACCESS.items()
        if method == "GET" and may(role, right) and name not in BY_THE_ROW | {"login"}
    ]
    # What lacks everything has other links than what has it all.
    bare = [make.make_instrument(), world.taken_in.instrument, world.sale.instrument]
    pages += [("instrument", each.get_absolute_url()) for each in bare]
    for name, address in pages:
        answer = client.get(address)
        if answer.status_code == 200 and answer["Content-Type"].startswith("text/html"):
            refused |= {
                (name, each)
                for each in names_on(answer.content.decode()) - BY_THE_ROW
                if each in ACCESS and not may(role, ACCESS[each][1])
            }
    assert sorted(refused) == []
