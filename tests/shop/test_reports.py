"""Reports of the books: their sums are those of the reckoning, the page's those of the export."""

import csv
from datetime import timedelta
from io import StringIO

import pytest
from django.utils import timezone

from instruments.actions.moves import move_instrument
from shop.actions.money import set_price
from shop.actions.sales import sell
from shop.costs import true_costs
from shop.report_ground import Between, unsold
from shop.reports import REPORTS
from tests import make
from workorders.actions.bench import log_time, set_rate

pytestmark = pytest.mark.django_db

ON = make.A_DAY
ALWAYS = Between(ON - timedelta(days=900), ON + timedelta(days=900))


def bought(owner, *, price=50_000, maker="Halden & Rook", since=ON):
    piano = make.make_instrument(by=owner, maker=maker)
    make.make_purchase(instrument=piano, price_minor=price, bought_on=since, by=owner)
    move_instrument(instrument=piano, place="workshop", by=owner, on=since)
    return piano


@pytest.fixture
def trade(owner):
    """Two sold, one of them at a loss; one in stock since thirty days, with an order open for ten."""
    sold = [bought(owner, price=150_000), bought(owner, price=85_000, maker="Orrin")]
    for piano, price in zip(sold, (200_000, 80_000), strict=True):
        sell(instrument=piano, person=make.make_person(), price_minor=price, by=owner, on=ON)
    kept = bought(owner, since=ON - timedelta(days=30))
    make.make_order(instrument=kept, opened_on=ON - timedelta(days=10))
    set_price(instrument=kept, amount_minor=180_000, by=owner, on=ON)
    return sold, kept


def rows(slug, between=ALWAYS, on=ON):
    return [row.cells for row in REPORTS[slug].build(between, on).rows]


def test_ageing_tells_days_in_stock_and_in_each_stage(trade):
    _, kept = trade
    assert rows("ageing") == [(str(kept), "On the bench", 30, 20, 10, 0, 0, 0)]


# CHECKS section 6, tests 1 and 3: VAT 83.33 on a margin of 500; none on a loss, and no offset.
def test_profit_by_instrument_and_by_maker(trade):
    assert [row[2:6] for row in rows("instruments")] == [
        (200_000, 8_333, 150_000, 41_667),
        (80_000, 0, 85_000, -5_000),
    ]
    by_maker = [(row[0], row[1], row[5]) for row in rows("makers")]
    assert by_maker == [("Halden & Rook", 1, 41_667), ("Orrin", 1, -5_000)]
    assert REPORTS["makers"].build(ALWAYS, ON).totals[1:6] == (2, 280_000, 8_333, 235_000, 36_667)


def test_only_the_days_asked_for_are_told(trade):
    after = Between(ON + timedelta(days=1), ON + timedelta(days=9))
    assert rows("instruments", after) == rows("tied-up", after) == []


def test_money_tied_up_and_what_each_stage_holds_agree(trade):
    _, kept = trade
    tied, stages = (REPORTS[slug].build(ALWAYS, ON) for slug in ("tied-up", "stages"))
    spent = true_costs([kept], on=ON)[kept.pk].total_minor
    assert tied.totals[2] == stages.totals[2] == spent == 50_000
    assert [row.cells[1] for row in stages.rows] == [0, 1, 0, 0, 0]


def test_hours_are_held_against_margin(trade, owner):
    (piano, _), _ = trade
    set_rate(per_hour_minor=4_000, since=ON, by=owner)
    item = make.make_item(order=make.make_order(instrument=piano))
    log_time(item=item, person=owner, minutes=120, by=owner, on=ON)
    name, hours, *money = rows("hours")[0]
    assert (name, str(hours), money) == (str(piano), "2.0", [8_000, 33_667, 41_667, 20_834])


def test_customers_own_and_sale_or_return_do_not_count_as_stock(trade, owner):
    make.make_taken_in(by=owner)
    make.make_sale_or_return(by=owner)
    assert [each.pk for each in unsold(ALWAYS)] == [trade[1].pk]


@pytest.mark.parametrize("slug", [slug for slug in REPORTS if slug != "kept"])
def test_each_report_has_table_picture_and_the_same_sums_as_csv(client, owner, trade, slug):
    client.force_login(owner)
    page = client.get(f"/books/reports/{slug}/?since=2020-01-01").content.decode()
    assert "<svg" in page and "In figures" in page
    answer = client.get(f"/books/reports/{slug}/table.csv?since=2020-01-01")
    told = b"".join(answer.streaming_content).decode("utf-8-sig")
    table = list(csv.reader(StringIO(told)))
    built = REPORTS[slug].build(ALWAYS, timezone.localdate())
    assert table[0] == [heading for heading, _ in built.columns]
    assert len(table) == 1 + len(built.rows) + bool(built.totals)


def test_range_that_is_upside_down_is_told_and_hides_nothing(client, owner, trade):
    client.force_login(owner)
    page = client.get("/books/reports/ageing/?since=2026-05-01&until=2026-04-01").content.decode()
    assert "The last day comes before the first." in page and "On the bench" in page


def test_empty_report_says_what_to_do(client, owner):
    client.force_login(owner)
    assert "Nothing in these days." in client.get("/books/reports/makers/").content.decode()
    assert client.get("/books/reports/dreams/").status_code == 404


def test_queries_do_not_grow_with_the_stock(client, owner, trade, django_assert_max_num_queries):
    client.force_login(owner)
    client.get("/books/reports/stages/")
    with django_assert_max_num_queries(40) as before:
        client.get("/books/reports/stages/")
    for _ in range(4):
        make.make_order(instrument=bought(owner))
    with django_assert_max_num_queries(40) as after:
        client.get("/books/reports/stages/")
    assert len(after) == len(before)
