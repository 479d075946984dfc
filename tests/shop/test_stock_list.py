import re
from datetime import timedelta

import pytest
from django.db import connection
from django.http import QueryDict
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from instruments.actions.intake import create_instrument
from instruments.actions.statements import add_statement
from shop.actions.promises import place_hold
from shop.actions.sales import sell
from shop.forms.stock import StockForm
from shop.models import Listing
from tests.make import A_DAY, make_instrument, make_item, make_order, make_person, make_photo, make_price

pytestmark = pytest.mark.django_db


@pytest.fixture
def signed_in(client, technician):
    client.force_login(technician)
    return client


def numbers(client, **asked) -> list[str]:
    """The stock numbers on the page, in their order."""
    page = client.get(reverse("stock"), asked).content.decode()
    return re.findall(r'<p class="eyebrow">(\d\d-\d{3})', page)


def log(by, **identity):
    return create_instrument(by=by, on=A_DAY, **{"kind": "upright", "maker": "Castlemere"} | identity)


def test_the_newest_stands_first(signed_in, technician):
    log(technician)
    log(technician)
    assert numbers(signed_in) == ["26-002", "26-001"]


@pytest.mark.parametrize(
    "words", ["Éloise", "eloise", "31447", "31 447", "26-001", "assembly rooms", "no. 5"]
)
def test_the_search_looks_through_names_numbers_and_history(signed_in, technician, words):
    found = log(technician, maker="Éloise Brandt", serial="31 447", model="No. 5")
    add_statement(
        instrument=found, by=technician, text="Played at the Assembly Rooms", grade="told", told_by="W. A."
    )
    log(technician)
    assert numbers(signed_in, q=words) == ["26-001"]


@pytest.mark.parametrize(
    "asked",
    [
        {"kind": "grand"},
        {"place": "store"},
        {"compass": "85"},
        {"height_from": "120", "height_to": "125,5"},
        {"price_from": "1,500", "price_to": "2000"},
    ],
)
def test_each_filter_keeps_what_fits(signed_in, technician, asked):
    fits = log(technician, kind="grand", place="store", key_count=85, height_cm=125)
    make_price(instrument=fits, amount_minor=300_000)
    make_price(instrument=fits, amount_minor=180_000)
    other = log(technician, key_count=88, height_cm=131)
    make_price(instrument=other, amount_minor=300_000)
    assert numbers(signed_in, **asked) == ["26-001"]


def test_a_compass_that_is_neither_85_nor_88_is_found(signed_in, technician):
    log(technician, key_count=73, first_key=9)
    log(technician, key_count=85)
    assert numbers(signed_in, compass="other") == ["26-001"]


@pytest.fixture
def stock_in_every_state(owner):
    """26-001 free, 26-002 in the window, 26-003 on hold, 26-004 sold, 26-005 with open work."""
    _, window, held, sold, worked = (
        log(owner, natural_covering="plastic", sharp_covering="plastic") for _ in range(5)
    )
    Listing.objects.create(instrument=window, slug="window", headline="In the window", state="published")
    person, until = make_person(), A_DAY + timedelta(days=7)
    place_hold(instrument=held, person=person, until=until, by=owner, on=A_DAY)
    sell(instrument=sold, person=person, price_minor=90_000, by=owner, on=A_DAY)
    make_item(order=make_order(instrument=worked))


@pytest.mark.parametrize(
    ("state", "expected"),
    [
        ("in_stock", ["26-005", "26-003", "26-002", "26-001"]),
        ("free", ["26-005", "26-002", "26-001"]),
        ("window", ["26-002"]),
        ("hold", ["26-003"]),
        ("trial", []),
        ("sold", ["26-004"]),
        ("open_work", ["26-005"]),
        ("all", ["26-005", "26-004", "26-003", "26-002", "26-001"]),
    ],
)
def test_each_state_has_its_instruments(signed_in, stock_in_every_state, state, expected):
    assert numbers(signed_in, state=state) == expected


def test_sold_instruments_show_only_to_those_who_search(signed_in, stock_in_every_state):
    assert "26-004" not in numbers(signed_in)
    assert "26-004" in numbers(signed_in, q="castlemere")


def test_a_row_says_its_state_in_words(signed_in, stock_in_every_state):
    page = signed_in.get(reverse("stock"), {"state": "all"}).content.decode()
    for words in ("In the window", "On hold until 28 March 2026", ">Sold<", "Open work"):
        assert words in page


@pytest.mark.parametrize(
    ("sort", "expected"),
    [
        ("maker", ["26-002", "26-003", "26-001"]),
        ("tallest", ["26-001", "26-002", "26-003"]),
        ("smallest", ["26-002", "26-001", "26-003"]),
        ("oldest", ["26-003", "26-001", "26-002"]),
        ("cheapest", ["26-002", "26-001", "26-003"]),
        ("dearest", ["26-001", "26-002", "26-003"]),
        ("logged_by__password", ["26-003", "26-002", "26-001"]),
    ],
)
def test_the_order_comes_from_a_list_and_nothing_known_comes_last(signed_in, technician, sort, expected):
    first = log(technician, maker="Thursby & Lund", height_cm=130, made="1912")
    second = log(technician, maker="Castlemere", height_cm=120)
    log(technician, maker="Orrin Vale", made="1898")
    make_price(instrument=first, amount_minor=300_000)
    make_price(instrument=second, amount_minor=100_000)
    assert numbers(signed_in, sort=sort) == expected


@pytest.mark.parametrize(
    "asked",
    [
        {"page": "x"},
        {"page": "-1"},
        {"page": "9" * 30},
        {"kind": "organ"},
        {"height_from": "tall"},
        {"price_from": "cheap"},
        {"q": "\x00"},
        {"q": "x" * 10_000},
        {"state": "[]"},
    ],
)
def test_a_question_that_makes_no_sense_is_answered_all_the_same(signed_in, technician, asked):
    log(technician)
    assert signed_in.get(reverse("stock"), asked).status_code == 200


def test_what_was_not_understood_is_marked(signed_in, technician):
    page = signed_in.get(reverse("stock"), {"height_from": "tall"}).content.decode()
    assert "Give a number, such as 122 or 122.5." in page


def test_htmx_gets_the_results_alone(signed_in, technician):
    log(technician)
    page = signed_in.get(reverse("stock"), headers={"HX-Request": "true"}).content.decode()
    assert page.strip().startswith('<div id="results"') and "26-001" in page


def test_pages_are_bounded_and_keep_the_question(signed_in, technician):
    for _ in range(31):
        make_instrument(by=technician, search_text="castlemere")
    page = signed_in.get(reverse("stock"), {"q": "castlemere"}).content.decode()
    assert len(re.findall('class="row-name"', page)) == 30
    assert "?q=castlemere&amp;page=2" in page
    assert len(numbers(signed_in, q="castlemere", page="2")) == 1


def test_the_number_of_queries_does_not_grow_with_the_rows(signed_in, technician):
    counts = []
    for more in (1, 2, 47):
        for _ in range(more):
            make_instrument(by=technician)
        with CaptureQueriesContext(connection) as queries:
            signed_in.get(reverse("stock"))
        counts.append(len(queries))
    assert counts[0] == counts[1] == counts[2] <= 8


def test_a_row_leads_with_its_first_photo(signed_in, technician):
    photo = make_photo(instrument=log(technician), by=technician)
    page = signed_in.get(reverse("stock")).content.decode()
    assert reverse("instruments:photo_file", args=["26-001", photo.pk, "thumb"]) in page


def test_an_empty_shop_says_what_to_do_next(client, buyer):
    client.force_login(buyer)
    assert "Log the first one" in client.get(reverse("stock")).content.decode()


def test_nothing_found_says_so(signed_in, technician):
    log(technician)
    page = signed_in.get(reverse("stock"), {"q": "harmonium"}).content.decode()
    assert "Nothing in stock answers to that." in page


@pytest.mark.parametrize("narrow", [True, False])
def test_a_range_finds_the_same_whether_few_or_many_lie_in_it(monkeypatch, narrow):
    monkeypatch.setattr("shop.stock.FEW", {"height": 9 * narrow - 1, "price": 9 * narrow - 1})
    low, dear, cheaper_now = (make_instrument(height_cm=height) for height in (110, 130, 131))
    make_price(instrument=low, amount_minor=300_000)
    make_price(instrument=dear, amount_minor=300_000)
    make_price(instrument=cheaper_now, amount_minor=300_000)
    make_price(instrument=cheaper_now, amount_minor=100_000)
    form = StockForm(QueryDict("price_from=2500&height_from=120"))
    assert form.keys(most=9) == [dear.pk] == [each.pk for each in form.found()]


def test_what_can_be_begun_is_offered_by_right_and_kept_apart(client, owner, seller, buyer, technician):
    """Each after the others: what was drawn for one is not handed to another."""
    begun = {}
    for person in (owner, seller, buyer, technician, owner):
        client.force_login(person)
        page = client.get(reverse("stock")).content.decode()
        head = page[page.index('class="page-aside"') : page.index('class="stock-filters"')]
        begun[person.username] = re.findall(r'href="/stock/([a-z-]+)/"', head)
    assert begun == {
        "olive": ["log", "take-in", "import"],
        "selma": ["take-in"],
        "bram": ["log", "import"],
        "tobias": [],
    }
