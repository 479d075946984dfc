"""The stock book, its periods and its exports as the owner sees them."""

import csv
import io
from datetime import date
from decimal import Decimal
from uuid import uuid4

import pytest
import time_machine
from django.core.management import CommandError, call_command
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from openpyxl import load_workbook

from shop.actions.money import record_purchase
from shop.actions.sales import sell
from shop.models import BookLine, BookPeriod, TaxRate
from shop.period_figures import figures_of
from tests import make

pytestmark = pytest.mark.django_db

TODAY = date(2026, 7, 20)


@pytest.fixture
def desk(client, owner):
    client.force_login(owner)
    with time_machine.travel(TODAY, tick=False):
        yield client


def trade(paid, price, *, bought_on, sold_on=None, name="=HYPERLINK(1)"):
    instrument, by = make.make_instrument(), make.somebody()
    seller = make.make_person(name=name)
    record_purchase(
        instrument=instrument,
        seller=seller,
        route="private",
        price_minor=paid,
        bought_on=bought_on,
        by=by,
        on=bought_on,
    )
    if sold_on:
        sell(instrument=instrument, person=make.make_person(), price_minor=price, by=by, on=sold_on)


def sums_of_csv(text):
    rows = list(csv.DictReader(io.StringIO(text.lstrip("\ufeff"))))
    return {
        name: sum(Decimal(row[name] or 0) for row in rows)
        for name in ("purchase price", "selling price", "tax due")
    }


def sums_of_xlsx(content):
    heading, *rows = load_workbook(io.BytesIO(content)).active.iter_rows(values_only=True)
    return {
        name: sum(Decimal(str(row[heading.index(name)] or 0)) for row in rows)
        for name in ("purchase price", "selling price", "tax due")
    }


def sums_of_page(figures):
    return {
        "purchase price": Decimal(figures.bought_minor) / 100,
        "selling price": Decimal(figures.gross_minor) / 100,
        "tax due": Decimal(figures.tax_minor) / 100,
    }


def test_the_pages_tell_the_lines_and_their_sums(desk, django_assert_max_num_queries):
    for day in range(1, 5):
        trade(60_000, 125_000, bought_on=date(2026, 4, day), sold_on=date(2026, 5, day))
    with django_assert_max_num_queries(16):
        page = desk.get("/books/lines/").content.decode()
    assert page.count("£108.33") == 4 and "£433.32" in page
    only = desk.get("/books/lines/?kind=bought&until=2026-04-02").context
    assert only["page"].paginator.count == 2 and only["figures"].bought_minor == 120_000
    odd = desk.get("/books/lines/?since=yesterday&kind=%00")
    assert odd.status_code == 200 and odd.context["page"].paginator.count == 8


def test_an_export_holds_what_the_page_holds_and_no_formula(desk):
    trade(60_000, 125_000, bought_on=date(2026, 4, 1), sold_on=date(2026, 5, 1))
    page = desk.get("/books/lines/?since=2026-04-01")
    csv_text = b"".join(desk.get("/books/lines.csv?since=2026-04-01").streaming_content).decode()
    xlsx = b"".join(desk.get("/books/lines.xlsx?since=2026-04-01").streaming_content)
    assert sums_of_csv(csv_text) == sums_of_xlsx(xlsx) == sums_of_page(page.context["figures"])
    assert '"\'=HYPERLINK(1)"' in csv_text
    cells = [cell for row in load_workbook(io.BytesIO(xlsx)).active for cell in row]
    assert all(cell.data_type != "f" for cell in cells)
    assert desk.get("/books/lines.pdf").status_code == 404


def test_the_command_writes_the_same_lines(tmp_path):
    trade(60_000, 125_000, bought_on=date(2026, 4, 1), sold_on=date(2026, 5, 1))
    given_days = ("--from", "2026-04-01", "--to", "2026-04-30")
    for form in ("csv", "xlsx"):
        target = tmp_path / f"books.{form}"
        call_command("export_books", *given_days, "--format", form, "--output", str(target))
    assert sums_of_csv((tmp_path / "books.csv").read_text())["purchase price"] == 600
    assert sums_of_xlsx((tmp_path / "books.xlsx").read_bytes())["selling price"] == 0
    with pytest.raises(CommandError, match="is there already"):
        call_command("export_books", *given_days, "--output", str(tmp_path / "books.csv"))
    with pytest.raises(CommandError, match="before the first"):
        call_command("export_books", "--from", "2026-04-01", "--to", "2026-03-01")
    with pytest.raises(CommandError, match="is not a day"):
        call_command("export_books", "--from", "spring", "--to", "2026-03-01")


def test_the_command_writes_to_the_terminal(capfdbinary):
    trade(60_000, 0, bought_on=date(2026, 4, 1))
    call_command("export_books", "--from", "2026-04-01", "--to", "2026-04-30")
    assert b"600.00" in capfdbinary.readouterr().out


DEALS = st.lists(
    st.tuples(
        st.one_of(st.none(), st.integers(0, 10**7)),
        st.one_of(st.none(), st.integers(1, 10**7)),
        st.integers(0, 300),
    ),
    max_size=6,
)


@settings(max_examples=20, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(deals=DEALS)
def test_of_any_year_of_trading_export_and_page_add_up_to_the_same(client, owner, deals):
    """And no minor unit is lost between price, tax and what is left."""
    client.force_login(owner)
    before = set(BookLine.objects.values_list("pk", flat=True))
    for paid, price, day in deals:
        bought_on = date.fromordinal(date(2026, 1, 1).toordinal() + day)
        trade(paid, price, bought_on=bought_on, sold_on=date(2026, 12, 1) if price else None)
    lines = BookLine.objects.exclude(pk__in=before)
    page = client.get("/books/lines/?since=2026-01-01&until=2026-12-31")
    answer = client.get("/books/lines.csv?since=2026-01-01&until=2026-12-31")
    assert sums_of_csv(b"".join(answer.streaming_content).decode()) == sums_of_page(page.context["figures"])
    for line in lines:
        most = max(0, line.margin_minor if line.margin_minor is not None else line.gross_minor)
        assert 0 <= line.tax_minor <= -(-most // 6)
        assert line.net_minor + line.tax_minor == line.gross_minor
    assert figures_of(lines).gross_minor == sum(price or 0 for _, price, _ in deals)


def test_a_period_is_closed_once_what_it_comes_to_was_shown(desk):
    trade(60_000, 125_000, bought_on=date(2026, 4, 1), sold_on=date(2026, 5, 1))
    days = {"starts_on": "2026-04-01", "ends_on": "2026-06-30", "form_token": uuid4().hex}
    shown = desk.post("/books/periods/close/", days | {"show": "yes"}).content.decode()
    assert "£108.33" in shown and "1 April 2026 to 30 June 2026" in shown and not BookPeriod.objects.exists()
    page = desk.post("/books/periods/close/", days, follow=True).content.decode()
    assert "Closed: 1 April 2026 to 30 June 2026" in page and "Box 6" in page and "£1,141.67" in page
    again = desk.post("/books/periods/close/", days | {"form_token": uuid4().hex}).content.decode()
    assert "the next one begins on 1 July 2026" in again
    periods = desk.get("/books/periods/").content.decode()
    assert "Open, since 1 July 2026" in periods and "when the last line of the books was no. 2" in periods


def test_the_future_is_not_closed(desk):
    trade(60_000, 0, bought_on=date(2026, 7, 1))
    page = desk.get("/books/periods/close/")
    assert [problem.sentence for problem in page.context["problems"]] == [
        "A period can be closed once its last day has passed."
    ]


def test_empty_books_say_what_writes_their_first_line(desk):
    assert "The books have no line yet." in desk.get("/books/periods/").content.decode()
    assert "No line here." in desk.get("/books/lines/").content.decode()
    assert desk.get("/books/periods/close/").status_code == 200


def test_a_rate_of_our_own_stands_among_the_shipped_ones(desk):
    typed = {
        "percent": "21",
        "starts_on": "2026-08-01",
        "source": "an invented act",
        "form_token": uuid4().hex,
    }
    page = desk.post("/books/rates/", typed, follow=True).content.decode()
    assert "an invented act" in page and "4 Jan 2011" in page and TaxRate.objects.count() == 1
    wrong = desk.post("/books/rates/", typed | {"percent": "-1", "form_token": uuid4().hex})
    assert "is 0 at least" in wrong.content.decode()


def test_a_scheme_goes_with_its_country(desk):
    form = desk.get("/terms/").context["form"]
    typed = {name: value for name, value in form.initial.items() if value is not None}
    page = desk.post("/terms/", typed | {"tax_scheme": "margin_eu"})
    assert "goes with the rates of a country of the EU" in page.content.decode()
    page = desk.post("/terms/", typed | {"tax_scheme": "margin", "tax_country": "DE"})
    assert "goes with the rates of the United Kingdom" in page.content.decode()


def test_a_last_day_before_the_first_is_refused_beside_the_field_and_both_days_are_kept(client, owner):
    client.force_login(owner)
    days = {"starts_on": "2026-03-31", "ends_on": "2026-01-01", "show": "yes", "form_token": uuid4().hex}
    page = client.post("/books/periods/close/", days)
    assert page.context["form"].errors["ends_on"] == ["That lies before the first day, 31 March 2026."]
    text = page.content.decode()
    assert 'value="2026-03-31"' in text and 'value="2026-01-01"' in text and "comes-to-heading" not in text
