"""How an instrument came to us, with what the tax book asks of the paper.

Fields of the stock book and of a purchase invoice: gov.uk, VAT margin schemes, keeping records.
"""

from uuid import uuid4

import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse

from shop.actions.money import record_purchase
from shop.models import Payment, Purchase
from shop.states import MONEY_METHODS, PaymentMethod
from tests import make

pytestmark = pytest.mark.django_db

TRADE = {
    "route": "trade",
    "seller_kind": "trade",
    "price_minor": "640",
    "extras_minor": "40",
    "bought_on": "2026-02-03",
    "seller_invoice": "A/1188",
    "scheme_label": "second_hand",
}


def record(client, instrument, **typed):
    sent = {"form_token": uuid4().hex} | typed
    return client.post(reverse("shop:purchase_record", args=[instrument.stock_number]), sent, follow=True)


def test_a_trade_purchase_keeps_its_paper(client, owner):
    client.force_login(owner)
    instrument = make.make_instrument()
    record(client, instrument, **TRADE)
    bought = Purchase.objects.get()
    assert (bought.price_minor, bought.extras_minor, bought.scheme_label) == (64_000, 4_000, "second_hand")
    assert bought.is_from_trade and bought.invoice_number == "A/1188" and not bought.vat_shown


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"extras_minor": "700"}, "part of the price paid"),
        ({"vat_minor": "100"}, "Tick that the invoice shows VAT"),
        ({"vat_shown": "on", "vat_minor": "10"}, "leave the label out"),
        ({"vat_shown": "on", "scheme_label": "", "vat_minor": "900"}, "cannot be more than that"),
        ({"route": "returnable"}, "Select a valid choice"),
    ],
)
def test_what_cannot_all_be_true_is_said_beside_its_field(client, owner, typed, sentence):
    client.force_login(owner)
    page = record(client, make.make_instrument(), **TRADE | typed).content.decode()
    assert sentence in page and "A/1188" in page and not Purchase.objects.exists()


def test_a_correction_keeps_the_number_of_our_own_invoice():
    instrument, by = make.make_instrument(), make.somebody()
    first = record_purchase(
        instrument=instrument, route="private", price_minor=100, own_number="P26-001", by=by
    )
    second = record_purchase(instrument=instrument, route="private", price_minor=120, by=by)
    assert second.corrects == first and second.own_number == "P26-001" and not second.is_from_trade


def test_the_database_keeps_vat_and_margin_scheme_apart():
    with pytest.raises(IntegrityError), transaction.atomic():
        record_purchase(
            instrument=make.make_instrument(),
            route="trade",
            vat_shown=True,
            scheme_label="antique",
            by=make.somebody(),
        )


def test_part_exchange_is_no_way_to_pay_that_somebody_picks():
    assert PaymentMethod.PART_EXCHANGE not in dict(MONEY_METHODS) and not Payment.objects.exists()
