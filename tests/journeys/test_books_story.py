"""Half a year of the books in one piece: part exchange above value, a loss, a close, a return after it.

Margin scheme: SI 1995/1268 art 12; part exchange: VATMARG13350; half a penny goes up: VATREC12030 (CHECKS 6).
"""

from datetime import date

import pytest
import time_machine

from instruments.problems import Refused
from shop.actions.periods import close_period
from shop.actions.sale_endings import take_back_sale
from shop.models import BookPeriod
from shop.period_figures import Figures, figures_between
from shop.verification import Verification
from tests.shop.test_book_pages import sums_of_csv, sums_of_page, sums_of_xlsx
from tests.shop.test_sale_end import allow, bought, sold

pytestmark = [pytest.mark.django_db, pytest.mark.both]

APRIL, MAY, JUNE, JULY = date(2026, 4, 1), date(2026, 5, 4), date(2026, 6, 8), date(2026, 7, 6)


def test_half_a_year_of_trading_comes_out_the_same_on_page_file_and_paper(client, owner):
    upright, square = bought(100_000), bought(60_000)
    exchanged = sold(upright, 300_000, pay=50_000, on=MAY)
    incoming = allow(exchanged, 250_000, on=MAY)  # worth 40,000: more allowed than it will ever bring
    kept = sold(square, 125_000, pay=125_000, on=MAY)
    loss = sold(incoming, 40_000, pay=40_000, on=JUNE)
    taxes = [sale.book_lines.get().tax_minor for sale in (exchanged, kept, loss)]
    assert taxes == [33_333, 10_833, 0]

    close_period(starts_on=APRIL, ends_on=date(2026, 6, 30), by=owner, on=JULY)
    closed = BookPeriod.objects.get()
    assert Figures.from_plain(closed.figures).tax_minor == sum(taxes)
    with pytest.raises(Refused, match="closed up to 30 June"):
        sold(bought(10_000, on=JULY), 20_000, on=JUNE)

    take_back_sale(sale=kept, reason="A crack was found", method="card", by=owner, on=JULY)
    assert Figures.from_plain(closed.figures) == figures_between(closed.starts_on, closed.ends_on)
    assert figures_between(date(2026, 7, 1), date(2026, 9, 30)).tax_minor == -10_833
    again = sold(square, 110_000, pay=110_000, on=JULY)
    assert again.book_lines.get().tax_minor == 8_333

    client.force_login(owner)
    with time_machine.travel(JULY, tick=False):
        page = client.get("/books/lines/?since=2026-04-01")
        as_csv = b"".join(client.get("/books/lines.csv?since=2026-04-01").streaming_content).decode()
        as_xlsx = b"".join(client.get("/books/lines.xlsx?since=2026-04-01").streaming_content)
    assert sums_of_page(page.context["figures"]) == sums_of_csv(as_csv) == sums_of_xlsx(as_xlsx)
    assert page.context["figures"].tax_minor == 33_333 + 8_333
    assert list(Verification().faults()) == []
