"""Selling from the page: to anybody, or out of a hold to the one who holds it."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.utils import timezone

from shop.actions.ledger import credit_of, value_in
from shop.actions.promises import place_hold
from shop.models import Sale
from tests import make

pytestmark = pytest.mark.django_db


@pytest.fixture
def desk(client, seller):
    client.force_login(seller)
    return client


@pytest.fixture
def held(seller):
    today = timezone.localdate()
    return place_hold(
        instrument=make.make_instrument(),
        person=make.make_person(name="Hester Blount"),
        until=today + timedelta(days=9),
        deposit_minor=5_000,
        method="cash",
        by=seller,
        on=today,
    )


def sell_to(desk, held, person, **fields):
    fields = {"person": person.pk, "price_minor": "1,000", "method": "cash"} | fields
    return desk.post(f"/stock/{held.instrument.stock_number}/sell/", {"form_token": uuid4().hex} | fields)


def test_the_page_says_that_a_held_instrument_can_be_sold_to_its_holder(desk, held):
    page = desk.get(f"/stock/{held.instrument.stock_number}/sell/")
    assert [problem.is_blocker for problem in page.context["problems"]] == [False]
    assert "It can be sold to Hester Blount alone." in page.content.decode()


def test_a_held_instrument_is_sold_to_its_holder_and_the_deposit_used(desk, held):
    assert sell_to(desk, held, held.person, credit_minor="50").status_code == 302
    assert value_in(Sale.objects.get().promise) == 5_000
    assert credit_of(held.person) == 0


def test_a_held_instrument_is_sold_to_nobody_else(desk, held):
    page = sell_to(desk, held, make.make_person(name="Ravi Sandholme"))
    assert "It is promised to Hester Blount." in page.content.decode()
    assert not Sale.objects.exists()
