"""The database itself keeps a closed period of the books as it was."""

from datetime import date

import pytest
from django.db import IntegrityError, connection, transaction

from shop.actions.money import record_purchase
from shop.actions.sales import sell
from shop.db.closed_periods import DATED, tables_without_period_guard
from shop.models import BookLine, BookPeriod, Sale, TaxRate
from tests import make

pytestmark = [pytest.mark.django_db, pytest.mark.both]


@pytest.fixture
def closed():
    return BookPeriod.objects.create(
        starts_on=date(2026, 1, 1), ends_on=date(2026, 3, 31), closed_by=make.somebody()
    )


def refused(act):
    with pytest.raises(IntegrityError, match="period of the books that is closed"), transaction.atomic():
        act()


def line_on(day, number=900):
    return BookLine.objects.create(
        number=number,
        kind="fee",
        instrument=make.make_instrument(),
        entered_on=day,
        description="Delivery",
        recorded_by=make.somebody(),
    )


def test_every_dated_table_has_its_guard():
    assert tables_without_period_guard(connection) == []
    assert len(DATED) == 4


def test_no_line_sale_or_rate_is_dated_inside_it(closed):
    refused(lambda: line_on(date(2026, 3, 31)))
    refused(lambda: line_on(date(2025, 12, 31)))
    refused(
        lambda: TaxRate.objects.create(
            country="GB", kind="vat", percent=18, starts_on=date(2026, 2, 1), source="x"
        )
    )
    instrument = make.make_instrument()
    record_purchase(instrument=instrument, route="private", price_minor=100, by=make.somebody())
    sale = sell(
        instrument=instrument,
        person=make.make_person(),
        price_minor=500,
        by=make.somebody(),
        on=date(2026, 4, 1),
    )
    fields = {
        name: getattr(sale, name)
        for name in ("instrument", "person", "promise", "price_minor", "recorded_by")
    }
    refused(lambda: Sale.objects.create(number="S0", sold_on=date(2026, 3, 1), **fields))
    assert line_on(date(2026, 4, 1)).pk


def test_the_next_period_begins_after_it(closed):
    by = make.somebody()
    refused(
        lambda: BookPeriod.objects.create(
            starts_on=date(2026, 3, 31), ends_on=date(2026, 6, 30), closed_by=by
        )
    )
    BookPeriod.objects.create(starts_on=date(2026, 4, 1), ends_on=date(2026, 6, 30), closed_by=by)
    refused(lambda: line_on(date(2026, 6, 30)))
