"""People are looked for in the body of a request: no address holds a name, and looking changes nothing."""

import re

import pytest
from django.conf import settings
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shop import read_only
from shop.not_now import LOOKING
from tests import make

NAMES = ("shop:people", "shop:person_matches", "shop:instrument_matches", "shop:seller_matches")
# Every form whose fields stand in an address: numbers, kinds, days, words about instruments; no name.
ASKED_BY_ADDRESS = {
    "includes/masthead.html",  # words about instruments
    "instruments/climate.html",
    "instruments/includes/compare_form.html",
    "instruments/includes/since.html",
    "instruments/serial_marks.html",  # a maker
    "instruments/weighing_page.html",
    "shop/access_log.html",  # who, by their number
    "shop/comparison.html",
    "shop/includes/stock_filters.html",  # words about instruments
    "shop/includes/window_filters.html",
    "shop/labels.html",
    "shop/listen.html",
    "shop/receipt_list.html",
    "shop/report_page.html",
    "shop/includes/stock_results.html",
    "shop/stock_book.html",
}
ASKING = re.compile(r"<form\b[^>]*>")
ASKED_AS_TYPED = re.compile(r"<(?:input|textarea)\b[^>]*\bhx-get=")


@pytest.fixture
def found(owner):
    return make.make_person(name="Greta Ostler"), make.make_person(name="Wilf Arden")


def asked_for(client, name: str):
    typed = {"q": "ostler", "person_find": "ostler", "seller_name": "ostler", "instrument_find": "ostler"}
    field = "instrument" if name == "shop:instrument_matches" else "person"
    return client.post(f"{reverse(name)}?field={field}", typed)


def test_people_are_found_by_what_is_sent_and_not_by_an_address(client, owner, found):
    client.force_login(owner)
    page = asked_for(client, "shop:people")
    assert list(page.context["page"]) == [found[0]]
    assert len(client.get(reverse("shop:people"), {"q": "ostler"}).context["page"].object_list) == 2


@pytest.mark.parametrize("name", NAMES)
def test_looking_writes_nothing_and_goes_on_while_nothing_can_be_saved(
    client, owner, found, name, settings, tmp_path
):
    client.force_login(owner)
    client.get(reverse("shop:people"))
    settings.DATA_DIR = tmp_path
    read_only.begin("it is looked after")
    with CaptureQueriesContext(connection) as asked:
        assert asked_for(client, name).status_code == 200
    written = [each["sql"] for each in asked if re.search(r"\b(INSERT|UPDATE|DELETE)\b", each["sql"])]
    assert written == []
    assert client.post(reverse("shop:person_add"), {"name": "Odo Wren"}).status_code == 503


def test_each_address_that_only_looks_is_one_there_is():
    assert {reverse(name) for name in NAMES} == LOOKING


@pytest.mark.parametrize("name", NAMES)
def test_nobody_looks_through_a_forged_form(owner, found, name):
    strict = Client(enforce_csrf_checks=True)
    strict.force_login(owner)
    assert asked_for(strict, name).status_code == 403


def asks_by_address(page: str) -> bool:
    """Whether a form, or a box that asks while it is filled in, puts what is typed in an address."""
    return any('method="post"' not in form for form in ASKING.findall(page)) or bool(
        ASKED_AS_TYPED.search(page)
    )


def test_no_page_asks_for_a_name_or_a_secret_by_an_address():
    folder = settings.BASE_DIR / "templates"
    pages = {path.relative_to(folder).as_posix(): path.read_text() for path in folder.rglob("*.html")}
    assert {name for name, text in pages.items() if asks_by_address(text)} == ASKED_BY_ADDRESS


@pytest.mark.parametrize(
    "page", ['<form method="get">', '<form class="a">', '<input name="q" hx-get="/people/">']
)
def test_such_a_page_would_be_seen(page):
    assert asks_by_address(page) and not asks_by_address('<form class="a" method="post"><input name="q">')
