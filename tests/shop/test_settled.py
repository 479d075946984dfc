"""Sales that are settled carry a note, so that what is to be paid or brought is found without them."""

from importlib import import_module
from types import SimpleNamespace

import pytest
from django.apps import apps
from django.db import connection

from shop.actions.ledger import refund, take_payment
from shop.actions.part_exchange import hand_over
from shop.books import owed_to_us
from shop.models import Promise
from shop.settled_check import settled_faults
from shop.waiting_sales import unsettled_sales
from tests import make
from tests.make_sale import make_delivered_sale, make_sale

pytestmark = [pytest.mark.django_db, pytest.mark.both]
ON = make.A_DAY


def is_noted(sale) -> bool:
    return Promise.objects.get(pk=sale.promise_id).is_settled


def test_a_sale_is_settled_once_it_is_paid_to_the_penny_and_handed_over():
    sale = make_sale(paid=89_999, price=90_000)
    hand_over(sale=sale, handed_over_on=ON, by=make.somebody())
    assert not is_noted(sale) and list(unsettled_sales()) == [sale]
    take_payment(promise=sale.promise, amount_minor=1, method="cash", by=make.somebody(), on=ON)
    assert is_noted(sale) and not unsettled_sales().exists()


def test_what_is_paid_and_not_handed_over_is_not_settled():
    sale = make_sale(paid=90_000, price=90_000)
    assert not is_noted(sale)
    hand_over(sale=sale, handed_over_on=ON, by=make.somebody())
    assert is_noted(sale)


def test_what_is_given_back_makes_it_unsettled_and_owed_again():
    sale = make_delivered_sale(paid=90_000)
    assert is_noted(sale) and owed_to_us(ON).rows == []
    refund(promise=sale.promise, amount_minor=500, method="cash", by=make.somebody(), on=ON)
    assert not is_noted(sale)
    assert [each.amount_minor for each in owed_to_us(ON).rows] == [500]


def test_a_wrong_note_is_found():
    paid, owing = make_delivered_sale(paid=90_000), make_sale(paid=1, price=90_000)
    assert list(settled_faults()) == []
    Promise.objects.update(is_settled=True)
    (fault,) = settled_faults()
    assert fault.startswith(f"shop.promise {owing.promise_id}: it is noted as settled")
    Promise.objects.filter(pk=paid.promise_id).update(kind="hold", until=ON)
    assert len(list(settled_faults())) == 2


def test_sales_of_before_are_noted_by_the_migration(monkeypatch):
    migration = import_module("shop.migrations.0042_note_what_is_settled")
    monkeypatch.setattr(migration, "AT_ONCE", 1)
    sales = [
        make_delivered_sale(paid=90_000),
        make_sale(paid=1, price=90_000),
        make_delivered_sale(paid=90_000),
    ]
    Promise.objects.update(is_settled=False)
    for _ in range(2):  # cut off, it is run again
        migration.note_settled(apps, SimpleNamespace(connection=connection))
        assert [is_noted(sale) for sale in sales] == [True, False, True]
