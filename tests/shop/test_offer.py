"""The offer calculator's page: worked out, kept with its day, and shown to those who see costs."""

from uuid import uuid4

import pytest
from django.urls import reverse

from shop.models import OfferCalculation, ShopProfile
from tests import make

pytestmark = pytest.mark.django_db

TYPED = {
    "sale_minor": "3000",
    "hours": "10",
    "rate_minor": "60",
    "transport_minor": "200",
    "tuning_minor": "100",
    "profit_minor": "600",
    "note": "Three sales nearby",
}


def send(client, address, **typed):
    return client.post(address, {"form_token": uuid4().hex} | typed, follow=True)


@pytest.fixture
def address():
    ShopProfile(pk=1, tax_scheme="margin").save()
    return reverse("shop:lead_offer", args=[make.make_lead().number])


def test_it_is_worked_out_without_being_kept(client, buyer, address):
    client.force_login(buyer)
    page = send(client, address, **TYPED, show="yes").content.decode()
    assert "£1,200.00" in page and "Line by line" in page and "<svg" in page
    assert "£900.00" in page and "£1,500.00" in page  # how it moves with the sale price
    assert not OfferCalculation.objects.exists()


def test_it_is_kept_with_its_day_and_the_decision_names_it(client, buyer, address):
    client.force_login(buyer)
    send(client, address, **TYPED)
    row = OfferCalculation.objects.get()
    assert row.most_minor == 120_000 and row.scheme == "margin" and row.recorded_by == buyer
    ShopProfile.objects.filter(pk=1).update(tax_scheme="none")
    page = client.get(address).content.decode()
    assert "£1,200.00" in page and "Kept on" in page  # by the tax of its day
    decide = client.get(reverse("shop:lead_decide", args=[row.lead.number])).content.decode()
    assert "we may pay £1,200.00 at most" in decide


def test_what_cannot_be_read_keeps_what_was_typed(client, buyer, address):
    client.force_login(buyer)
    page = send(client, address, **TYPED | {"hours": "9999", "sale_minor": ""}, show="yes").content.decode()
    assert "Three sales nearby" in page and "Not saved yet" in page and not OfferCalculation.objects.exists()


def test_for_an_instrument_it_begins_with_the_hours_of_what_was_found(client, buyer):
    client.force_login(buyer)
    order = make.make_order()
    make.make_item(order=order, usual_minutes=90)
    page = client.get(reverse("shop:instrument_offer", args=[order.instrument.stock_number])).content.decode()
    assert 'value="1.5"' in page
