"""How an instrument came to us, with what the tax book asks of the paper.

Fields of the stock book and of a purchase invoice: gov.uk, VAT margin schemes, keeping records.
"""

from importlib import import_module
from uuid import uuid4

import pytest
from django.apps import apps
from django.db import IntegrityError, transaction
from django.urls import reverse

from instruments.problems import Refused
from shop.actions.money import record_purchase
from shop.actions.seller_payments import pay_seller
from shop.books import we_owe
from shop.costs import true_cost
from shop.models import Payment, Purchase, SellerPayment
from shop.person_card import card_of
from shop.seller_money import Settling, money_of
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
        ({"route": "returnable"}, "that is not among the choices"),
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


def owed(instrument):
    return money_of(instrument).owed_minor


def test_a_seller_is_owed_until_paid_in_parts_and_never_more_than_the_price(client, owner):
    instrument, seller = make.make_instrument(), make.make_person(name="Verity Holm")
    client.force_login(owner)
    record(client, instrument, **TRADE | {"settled": "later", "seller": str(seller.pk)})
    cost = true_cost(instrument, on=make.A_DAY).purchase_minor
    assert owed(instrument) == 64_000 == card_of(seller, on=make.A_DAY).we_owe_minor
    assert [each.amount_minor for each in we_owe(make.A_DAY).rows] == [64_000]
    address = reverse("shop:seller_pay", args=[instrument.stock_number])
    part = {"amount_minor": "240", "method": "transfer", "reference": "T 9", "paid_on": "2026-02-03"}
    page = client.post(address, part | {"form_token": uuid4().hex}, follow=True).content.decode()
    assert "Written down." in page and owed(instrument) == 40_000
    refused = client.post(address, part | {"amount_minor": "401", "form_token": uuid4().hex})
    assert "£400.00 is still owed" in refused.context["form"].errors["amount_minor"][0]
    pay_seller(instrument=instrument, amount_minor=40_000, method="cash", paid_on=make.A_DAY, by=owner)
    assert owed(instrument) == 0 and we_owe(make.A_DAY).rows == []
    assert true_cost(instrument, on=make.A_DAY).purchase_minor == cost == 64_000
    with pytest.raises(Refused, match="no more can be paid"):
        pay_seller(instrument=instrument, amount_minor=1, method="cash", paid_on=make.A_DAY, by=owner)
    assert (
        "The seller is paid in full"
        in client.get(reverse("shop:instrument_money", args=[instrument.stock_number])).content.decode()
    )


def test_a_corrected_price_of_what_is_paid_in_full_stays_paid_in_full(owner):
    instrument = make.make_instrument()
    record_purchase(instrument=instrument, route="private", price_minor=1_000, by=owner)
    record_purchase(instrument=instrument, route="private", price_minor=100, by=owner)
    assert [each.amount_minor for each in SellerPayment.objects.order_by("id")] == [1_000, -900]
    with pytest.raises(Refused, match="is paid to the seller already"):
        record_purchase(
            instrument=instrument, route="private", price_minor=50, settling=Settling(in_full=False), by=owner
        )
    assert owed(instrument) == 0


def test_who_may_not_see_costs_reads_nothing_of_it_on_the_card(owner):
    seller = make.make_person()
    record_purchase(
        instrument=make.make_instrument(),
        seller=seller,
        route="private",
        price_minor=5_000,
        settling=Settling(in_full=False),
        by=owner,
    )
    assert card_of(seller, on=make.A_DAY, sees_costs=False).we_owe == []


def test_purchases_of_before_count_as_paid(owner):
    instrument = make.make_instrument()
    later = Settling(in_full=False)
    record_purchase(instrument=instrument, route="private", price_minor=90, settling=later, by=owner)
    import_module("shop.migrations.0032_sellers_paid_before").count_as_paid(apps, None)
    (row,) = SellerPayment.objects.all()
    assert (row.amount_minor, row.method, owed(instrument)) == (90, "", 0)
