"""The books begin with what was recorded before there were any."""

from datetime import date
from decimal import Decimal
from importlib import import_module
from types import SimpleNamespace
from unittest.mock import Mock

import pytest
from django.apps import apps

from instruments.models import NumberSeries
from shop.models import BookLine, Payment, Promise, Purchase, Sale, TaxRate
from tests import make

pytestmark = [pytest.mark.django_db, pytest.mark.both]

begin = import_module("shop.migrations.0009_books_begin").begin


class AsItWas:
    """The models of today, and terms of the shop that still have their one rate."""

    def __init__(self, **terms):
        terms = {"tax_scheme": "margin", "jurisdiction": "uk", "tax_rate_percent": Decimal(20)} | terms
        self.profile = SimpleNamespace(save=Mock(), **terms)

    def get_model(self, app, name):
        if name != "ShopProfile":
            return apps.get_model(app, name)
        return Mock(objects=Mock(filter=lambda **_: Mock(first=lambda: self.profile)))


def sold_before(*, bought_on, sold_on, paid, price):
    instrument, person, by = make.make_instrument(), make.make_person(), make.somebody()
    Purchase.objects.create(
        instrument=instrument, price_minor=paid, bought_on=bought_on, seller=person, recorded_by=by
    )
    promise = Promise.objects.create(
        instrument=instrument,
        person=person,
        kind="sale",
        price_minor=price,
        opened_on=sold_on,
        opened_by=by,
    )
    Payment.objects.create(
        person=person,
        promise=promise,
        purpose="delivery",
        amount_minor=9_500,
        method="card",
        paid_on=sold_on,
        recorded_by=by,
    )
    return Sale.objects.create(
        number=f"S{sold_on:%y%m%d}",
        instrument=instrument,
        person=person,
        promise=promise,
        price_minor=price,
        sold_on=sold_on,
        recorded_by=by,
    )


def test_lines_are_numbered_in_the_order_of_their_days():
    sold_before(bought_on=date(2026, 2, 1), sold_on=date(2026, 5, 1), paid=150_000, price=200_000)
    sold_before(bought_on=date(2026, 1, 1), sold_on=date(2026, 3, 1), paid=85_000, price=80_000)
    begin(AsItWas(), None)
    lines = list(BookLine.objects.all())
    assert [(line.number, line.kind, line.tax_minor) for line in lines] == [
        (1, "bought", 0),
        (2, "bought", 0),
        (3, "sold", 0),
        (4, "fee", 1_583),
        (5, "sold", 8_333),
        (6, "fee", 1_583),
    ]
    assert {line.party for line in lines} == {"Wilf Arden"}
    assert NumberSeries.objects.get(series="book line").last == 6
    assert not TaxRate.objects.exists()


def test_a_correction_and_a_gift_are_entered_as_they_hold():
    instrument, by = make.make_instrument(), make.somebody()
    first = make.make_purchase(instrument=instrument, price_minor=1)
    Purchase.objects.create(instrument=instrument, route="gift", corrects=first, recorded_by=by)
    begin(AsItWas(), None)
    assert [line.cost_minor for line in BookLine.objects.all()] == [0]


@pytest.mark.parametrize(
    ("terms", "country", "scheme", "own"),
    [
        ({}, "GB", "margin", None),
        ({"jurisdiction": "eu", "tax_rate_percent": Decimal(21)}, "", "margin_eu", ("vat", 21)),
        (
            {"jurisdiction": "us", "tax_scheme": "sales_tax", "tax_rate_percent": Decimal("8.25")},
            "US",
            "sales_tax",
            ("sales_tax", Decimal("8.25")),
        ),
        ({"jurisdiction": "other", "tax_scheme": "none"}, "", "none", None),
    ],
)
def test_the_rate_of_the_terms_becomes_a_dated_one_of_the_shops_own(terms, country, scheme, own):
    was = AsItWas(**terms)
    begin(was, None)
    assert (was.profile.tax_country, was.profile.tax_scheme) == (country, scheme)
    assert was.profile.save.called
    rate = TaxRate.objects.filter(country=country).first()
    assert (rate and (rate.kind, rate.percent)) == own
