"""Lines of the books, numbered and never changed. Fields: gov.uk, VAT margin schemes, keeping records."""

from datetime import date
from decimal import Decimal

import pytest

from instruments.problems import Refused
from shop.actions.ledger import take_for_delivery
from shop.actions.money import record_purchase
from shop.actions.periods import add_tax_rate, close_period
from shop.actions.sales import sell
from shop.actions.stock_book import enter_fee, lessen_fees
from shop.costs import true_cost
from shop.models import BookLine, BookPeriod, Promise, Sale, ShopProfile
from shop.period_figures import Figures, figures_between
from tests import make

pytestmark = [pytest.mark.django_db, pytest.mark.both]

MAY = date(2026, 5, 4)
LATER = date(2026, 7, 2)


def bought(paid=60_000, *, on=date(2026, 4, 1), instrument=None, **fields):
    instrument = instrument or make.make_instrument(serial="31874")
    fields = {
        "route": "private",
        "seller": make.make_person(name="Edith Callow", address="4 Staithe Terrace"),
    } | fields
    record_purchase(
        instrument=instrument, price_minor=paid, bought_on=on, by=make.somebody(), on=on, **fields
    )
    return instrument


def sold(instrument, price=125_000, *, on=MAY):
    person = make.make_person(name="Hester Blount", address="9 Quay Row")
    return sell(instrument=instrument, person=person, price_minor=price, by=make.somebody(), on=on)


def told(line):
    return (line.kind, line.cost_minor, line.gross_minor, line.margin_minor, line.tax_minor, line.treatment)


def test_a_line_of_each_purchase_and_sale_with_what_the_scheme_asks_for():
    sale = sold(bought(seller_invoice="A/12"))
    purchase_line, sale_line = BookLine.objects.all()
    assert (purchase_line.number, purchase_line.party, purchase_line.party_address) == (
        1,
        "Edith Callow",
        "4 Staithe Terrace",
    )
    assert purchase_line.document == "A/12" and "serial 31874" in purchase_line.description
    assert told(purchase_line) == ("bought", 60_000, 0, None, 0, "")
    assert told(sale_line) == ("sold", 60_000, 125_000, 65_000, 10_833, "margin")
    assert (sale_line.number, sale_line.document, sale_line.party) == (2, sale.number, "Hester Blount")
    assert sale_line.rate_percent == 20


def test_vat_on_the_purchase_invoice_rules_the_margin_scheme_out():
    sold(bought(vat_shown=True, vat_minor=10_000))
    purchase_line, sale_line = BookLine.objects.all()
    assert purchase_line.input_tax_minor == 10_000
    assert told(sale_line) == ("sold", None, 125_000, None, 20_833, "standard")
    assert "shows VAT" in sale_line.why


@pytest.mark.parametrize(
    ("route", "treatment", "tax"), [("private", "standard", 20_833), ("gift", "margin", 20_833)]
)
def test_a_gift_cost_nothing_and_an_unknown_price_leaves_the_scheme(route, treatment, tax):
    line = sold(bought(None, route=route)).book_lines.get()
    assert (line.treatment, line.tax_minor) == (treatment, tax)


def test_the_rate_is_that_of_the_sale_and_not_of_today():
    add_tax_rate(
        percent=Decimal("22.5"), starts_on=date(2026, 6, 1), source="an invented act", by=make.somebody()
    )
    before, after = sold(bought(0), 122_500), sold(bought(0), 122_500, on=LATER)
    assert [sale.book_lines.get().tax_minor for sale in (before, after)] == [20_417, 22_500]
    assert [true_cost(sale.instrument).tax_minor for sale in (before, after)] == [20_417, 22_500]


def test_no_rate_of_the_day_no_sale():
    ShopProfile(pk=1, tax_scheme="sales_tax", tax_country="US").save()
    with pytest.raises(Refused, match="No rate of Sales tax is known for 4 May 2026"):
        sold(bought())
    assert not Sale.objects.exists() and not Promise.objects.exists()


def test_sales_tax_comes_on_top_of_what_is_to_be_paid():
    ShopProfile(pk=1, tax_scheme="sales_tax", tax_country="US").save()
    add_tax_rate(percent=Decimal("8.875"), starts_on=date(2026, 1, 1), source="the state", by=make.somebody())
    sale = sold(bought(), 100_000)
    assert (sale.price_minor, sale.promise.price_minor) == (100_000, 108_875)
    assert told(sale.book_lines.get()) == ("sold", None, 108_875, None, 8_875, "sales_tax")
    assert true_cost(sale.instrument).tax_minor is None


def test_delivery_is_taxed_in_full():
    """SI 1995/1268 is for goods: £60 of service holds £10.00 (CHECKS 6, test 11)."""
    sale = sold(bought())
    take_for_delivery(promise=sale.promise, amount_minor=6_000, method="card", by=make.somebody(), on=MAY)
    assert told(BookLine.objects.get(kind="fee")) == ("fee", None, 6_000, None, 1_000, "standard")


def test_a_corrected_purchase_takes_its_line_back_and_the_margin_of_the_sale_follows():
    instrument = bought()
    sold(instrument)
    bought(70_000, instrument=instrument, on=date(2026, 4, 1))
    lines = list(BookLine.objects.all())
    assert [line.number for line in lines] == [1, 2, 3, 4, 5, 6]
    assert [(line.kind, line.corrects_id and line.corrects.number) for line in lines[2:]] == [
        ("bought", 1),
        ("bought", None),
        ("sold", 2),
        ("sold", None),
    ]
    assert lines[4].tax_minor == -10_833 and told(lines[5])[3:5] == (55_000, 9_167)
    figures = figures_between(date(2026, 1, 1), date(2026, 12, 31))
    assert (figures.bought_minor, figures.gross_minor, figures.tax_minor) == (70_000, 125_000, 9_167)


def test_a_correction_of_the_note_alone_writes_no_line():
    instrument, seller = make.make_instrument(), make.make_person()
    for note in ("", "collected by us"):
        bought(instrument=instrument, seller=seller, note=note)
    assert BookLine.objects.count() == 1


def test_nothing_happens_inside_a_closed_period_any_more():
    instrument, sold_before = bought(), bought()
    sold(sold_before)
    period = close_period(starts_on=date(2026, 4, 1), ends_on=date(2026, 6, 30), by=make.somebody(), on=LATER)
    with pytest.raises(Refused, match="closed up to 30 June 2026"):
        sold(instrument, on=date(2026, 6, 30))
    with pytest.raises(Refused, match="closed up to"):
        add_tax_rate(percent=1, starts_on=date(2026, 6, 30), source="x", by=make.somebody())
    record_purchase(
        instrument=make.make_instrument(),
        route="private",
        price_minor=5,
        bought_on=date(2026, 6, 1),
        by=make.somebody(),
        on=LATER,
    )
    late = BookLine.objects.last()
    assert (late.happened_on, late.entered_on) == (date(2026, 6, 1), LATER) and "Entered late" in late.why
    assert sold(instrument, on=LATER)
    figures = figures_between(period.starts_on, period.ends_on)
    assert Figures.from_plain(period.figures) == figures
    assert [(number, amount) for number, _, amount in figures.boxes] == [
        ("1", 10_833),
        ("4", 0),
        ("6", 114_167),
        ("7", 120_000),
    ]


@pytest.mark.parametrize(
    ("starts_on", "ends_on", "sentence"),
    [
        (date(2026, 4, 1), date(2026, 3, 1), "lies before the first"),
        (date(2026, 4, 1), LATER, "once its last day has passed"),
        (date(2026, 5, 1), date(2026, 6, 30), "The books begin on 1 April 2026"),
    ],
)
def test_what_cannot_be_closed(starts_on, ends_on, sentence):
    bought()
    with pytest.raises(Refused, match=sentence):
        close_period(starts_on=starts_on, ends_on=ends_on, by=make.somebody(), on=LATER)
    assert not BookPeriod.objects.exists()


def test_periods_are_closed_in_order():
    bought()
    close_period(starts_on=date(2026, 4, 1), ends_on=date(2026, 4, 30), by=make.somebody(), on=LATER)
    for starts_on in (date(2026, 4, 1), date(2026, 6, 1)):
        with pytest.raises(Refused, match="the next one begins on 1 May 2026"):
            close_period(starts_on=starts_on, ends_on=date(2026, 6, 30), by=make.somebody(), on=LATER)


def test_money_for_work_is_taxed_in_full_when_it_is_paid_and_less_when_some_is_given_back():
    """Work is a service, outside the margin scheme; a payment makes its tax point (VATA 1994 s.6(4))."""
    instrument, person, by = make.make_instrument(), make.make_person(), make.somebody()
    for amount in (60_000, 30_000):
        enter_fee(
            instrument=instrument,
            person=person,
            amount_minor=amount,
            description="Work",
            document="Q26-001",
            by=by,
            on=MAY,
        )
    lessen_fees(BookLine.objects.standing(), 36_000, why="Less was done", by=by, on=LATER)
    assert [line.gross_minor for line in BookLine.objects.all()] == [60_000, 30_000, -30_000, -60_000, 54_000]
    figures = figures_between(MAY, LATER)
    assert (figures.gross_minor, figures.tax_minor) == (54_000, 9_000)
