"""Invoices by scheme. Fields: gov.uk, VAT margin schemes, keeping records (sales side from memory, CHECKS 6);
Directive 2006/112/EC art 226(14) for the EU wording."""

from datetime import date, timedelta
from decimal import Decimal
from uuid import uuid4

import pytest
from django.urls import reverse

from shop.actions.invoices import choose_age, issue_invoice
from shop.actions.ledger import take_payment
from shop.actions.money import record_purchase
from shop.actions.periods import add_tax_rate
from shop.actions.sale_course import deliver_sale
from shop.actions.sales import sell
from shop.actions.trials import keep_trial
from shop.invoice_problems import invoice_problems
from shop.invoice_words import supplied_on
from shop.models import AgeChoice, Paper, Sale, ShopProfile
from tests import make
from tests.make_sale import make_sale
from tests.reading import Reading

pytestmark = pytest.mark.django_db

MAY = date(2026, 5, 4)


def shop(**terms):
    terms = {
        "vat_number": "GB 000 0000 00",
        "address": "3 Larkrow\nKettlebeck",
        "name": "Larkrow Pianos",
    } | terms
    ShopProfile(pk=1, **terms).save()


def sale_of(*, made="1931", paid=150_000, price=200_000, **fields):
    instrument = make.make_instrument(made=made, made_basis="mark", serial="31874")
    fields = {"route": "private", "price_minor": paid, "bought_on": MAY} | fields
    record_purchase(instrument=instrument, by=make.somebody(), on=MAY, **fields)
    person = make.make_person(name="Hester Blount", address="9 Quay Row\nPort Lennick")
    return sell(
        instrument=instrument,
        person=person,
        price_minor=price,
        pay_now_minor=50_000,
        method="card",
        by=make.somebody(),
        on=MAY,
    )


def text_of(sale):
    paper = issue_invoice(sale=sale, by=make.somebody(), on=MAY)
    with paper.file.open("rb") as kept:
        return Reading(kept.read()).text


REQUIRED = ("Larkrow Pianos", "3 Larkrow", "Hester Blount", "9 Quay Row", "4 May 2026", "31874", "£2,000.00")


@pytest.mark.parametrize(
    ("made", "label"),
    [
        ("1931", "Margin scheme - second hand goods"),
        ("1920", "Margin scheme - collectors' items and antiques"),
    ],
)
def test_a_margin_invoice_bears_its_label_and_never_shows_vat(made, label):
    shop()
    sale = sale_of(made=made)
    text = text_of(sale)
    assert all(words in text for words in REQUIRED)
    assert sale.number in text and sale.instrument.stock_number in text and "GB 000 0000 00" in text
    assert label in text
    assert "83.33" not in text and "VAT at" not in text and "20 %" not in text
    assert "£1,500.00" in text  # still to pay
    assert "Price less VAT" not in text


@pytest.mark.parametrize(
    ("made", "label"),
    [("1931", "Margin scheme - Second-hand goods"), ("1920", "antiques")],
)
def test_an_eu_invoice_bears_the_words_of_the_directive(made, label):
    shop(tax_scheme="margin_eu", tax_country="IE")
    text = text_of(sale_of(made=made))
    assert label in text and "VAT at" not in text


def test_a_standard_invoice_shows_net_vat_and_gross():
    shop(tax_scheme="standard")
    text = text_of(sale_of())
    assert "£1,666.67" in text and "VAT at 20 %" in text and "£333.33" in text
    assert all(words in text for words in REQUIRED)


def test_bought_with_vat_shown_the_margin_shop_issues_a_standard_invoice():
    shop()
    text = text_of(sale_of(vat_shown=True))
    assert "VAT at 20 %" in text and "argin scheme" not in text


def test_sales_tax_stands_on_top():
    shop(tax_scheme="sales_tax", tax_country="US", vat_number="")
    add_tax_rate(percent=Decimal("8.875"), starts_on=date(2026, 1, 1), source="the state", by=make.somebody())
    text = text_of(sale_of())
    assert "Sales tax at 8.875 %" in text and "£177.50" in text and "£2,177.50" in text


def test_who_is_not_registered_says_so():
    shop(tax_scheme="none", vat_number="")
    assert "none is charged" in text_of(sale_of())


def test_a_part_exchange_stands_on_it_with_full_price_and_full_allowance():
    """VATMARG13350."""
    shop()
    sale = sale_of()
    incoming = make.make_instrument(maker="Orrin")
    record_purchase(
        instrument=incoming,
        seller=sale.person,
        price_minor=90_000,
        bought_on=MAY,
        route="part_exchange",
        allowed_against=sale.promise,
        by=make.somebody(),
        on=MAY,
    )
    take_payment(promise=sale.promise, amount_minor=90_000, method="exchange", by=make.somebody(), on=MAY)
    text = text_of(sale)
    assert "in part exchange" in text and "−£900.00" in text and "£2,000.00" in text
    assert "£600.00" in text and text.count("£900.00") == 1


def test_it_is_printed_once_and_stays_as_printed():
    shop()
    sale = sale_of()
    first = issue_invoice(sale=sale, by=make.somebody(), on=MAY)
    take_payment(promise=sale.promise, amount_minor=10_000, method="card", by=make.somebody(), on=MAY)
    assert issue_invoice(sale=sale, by=make.somebody(), on=date(2026, 6, 1)) == first
    assert Paper.objects.get().facts["tax_minor"] == 8_333 and first.number == sale.number


def test_what_it_lacks_is_said_and_nothing_is_printed(client, seller):
    client.force_login(seller)
    shop(address="", vat_number="")
    sale = sale_of(made="1926?")
    type(sale.person).objects.filter(pk=sale.person.pk).update(address="")
    sale.refresh_from_db()
    said = " ".join(problem.sentence for problem in invoice_problems(sale))
    for words in ("shop's address", "VAT number", "Hester Blount has none", "more than 100 years old"):
        assert words in said
    address = f"/sales/{sale.number}/invoice/"
    assert "Decide, and say why" in client.get(address).content.decode()
    assert "Decide, and say why" in client.post(address, follow=True).content.decode()
    assert not Paper.objects.exists() and client.get(f"/sales/{sale.number}/invoice.pdf").status_code == 404


def test_the_age_is_decided_by_a_person_with_a_reason(client, seller):
    client.force_login(seller)
    shop()
    sale = sale_of(made="1926?")
    typed = {"label": "antique", "why": "A tuner's date of 1919 inside", "form_token": uuid4().hex}
    address = f"/stock/{sale.instrument.stock_number}/age/"
    wrong = client.post(address, typed | {"why": ""}).content.decode()
    assert "is still empty" in wrong and not AgeChoice.objects.exists()
    page = client.post(address, typed | {"form_token": uuid4().hex}, follow=True).content.decode()
    assert "Margin scheme - collectors&#x27; items and antiques" in page
    assert AgeChoice.objects.get().recorded_by == seller
    assert "1919" in client.get(address).content.decode()


def test_where_the_dates_decide_a_choice_does_not():
    shop()
    sale = sale_of(made="1931")
    choose_age(instrument=sale.instrument, label="antique", why="wishful", by=make.somebody())
    assert "second hand goods" in text_of(sale)


def test_the_pages_lead_to_the_paper(client, seller):
    client.force_login(seller)
    shop()
    sale = sale_of()
    assert "Print and keep it" in client.get(f"/sales/{sale.number}/invoice/").content.decode()
    page = client.post(f"/sales/{sale.number}/invoice/", follow=True).content.decode()
    assert "is printed, and kept as printed" in page
    assert client.get(f"/sales/{sale.number}/invoice.pdf")["Content-Type"] == "application/pdf"


def test_it_is_supplied_on_the_day_it_was_handed_over_and_on_trial_the_day_it_was_kept():
    sale = sale_of()
    assert supplied_on(sale) == sale.sold_on
    deliver_sale(sale=sale, handed_over_on=sale.sold_on + timedelta(days=5), by=make.somebody())
    assert supplied_on(Sale.objects.get(pk=sale.pk)) == sale.sold_on + timedelta(days=5)
    trial = make.make_running_trial()
    kept = keep_trial(trial=trial, by=make.somebody(), on=make.A_DAY + timedelta(days=9))
    assert supplied_on(kept) == kept.sold_on > trial.starts_on


def test_a_missing_address_is_asked_for_on_the_page_of_the_sale(client, seller):
    client.force_login(seller)
    sale = make_sale(person=make.make_person(name="Ada Quill"))
    page = client.get(sale.get_absolute_url()).content.decode()
    assert "an invoice names it" in page and reverse("shop:person_edit", args=[sale.person.pk]) in page
