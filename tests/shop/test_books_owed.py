"""The books: what is owed either way, receipts by day, and what was kept of money that was paid."""

import csv
import io
from datetime import timedelta

import pytest
from django.urls import reverse

from instruments.models import NumberSeries
from shop.actions.commissions import withdraw_commission
from shop.actions.deductions import Agreed
from shop.actions.holds import give_back_later
from shop.actions.ledger import take_payment, value_in
from shop.actions.promises import place_hold, release_hold
from shop.actions.sale_endings import end_sale
from shop.actions.sale_notices import give_notice
from shop.actions.sales import sell
from shop.actions.trials import return_trial
from shop.actions.work_money import take_for_work
from shop.books import Side, held_for_customers, owed_to_us, we_owe
from shop.dues import Due
from shop.kept_money import CAUTION, kept_lines
from shop.models import Person, Promise, Receipt
from shop.payment_plans import owed_late
from shop.person_card import card_of
from shop.receipt_lists import days_of, numbers_lacking, receipts_between, sums_of
from shop.report_ground import Between
from tests import make
from tests.make_commission import make_approval, make_commission, make_quote
from tests.make_sale import make_delivered_sale, make_sale
from workorders.actions.items import close_item
from workorders.actions.orders import close_order
from workorders.currency import in_words

pytestmark = [pytest.mark.django_db, pytest.mark.both]
ON = make.A_DAY
LATE = ON + timedelta(days=8)
EVER = Between(ON - timedelta(days=999), ON + timedelta(days=999))


def given(on=ON):
    return {"by": make.somebody(), "on": on}


def test_an_owner_waits_for_their_part_and_is_late_after_its_day(owner):
    agreement = make.make_sale_or_return(by=owner)
    buyer = make.make_person(name="Bea Buyer")
    sell(instrument=agreement.instrument, person=buyer, price_minor=150_000, **given())
    row = next(each for each in we_owe(ON).rows if each.who == str(agreement.owner))
    assert (row.amount_minor, row.due_on, row.is_late) == (105_000, ON + timedelta(days=14), False)
    assert we_owe(ON + timedelta(days=15)).rows[0].is_late
    assert [each.amount_minor for each in owed_to_us(ON).rows] == [150_000]


def test_a_sale_that_ends_is_owed_back(owner):
    sale = make_delivered_sale(paid=90_000)
    give_notice(sale=sale, kind="goodwill", told_on=ON, by=owner)
    assert [(each.who, each.amount_minor) for each in we_owe(ON).rows] == [(str(sale.person), 90_000)]


def test_a_balance_without_stages_is_late_after_a_fortnight_in_the_books_as_on_today():
    sale = make_sale(on=ON)
    assert not owed_to_us(ON + timedelta(days=14)).rows[0].is_late
    (row,) = owed_to_us(ON + timedelta(days=15)).rows
    assert (row.is_late, row.due_on) == (True, ON + timedelta(days=14))
    (group,) = owed_late(ON + timedelta(days=15))
    assert in_words(row.amount_minor) in group.lines[0].words and row.url == sale.get_absolute_url()


def test_work_agreed_is_owed_to_us_done_or_not_and_what_was_paid_beyond_is_owed_back(owner):
    commission = make_commission(by=owner)
    quote = make_quote(commission=commission, by=owner)
    assert owed_to_us(ON).rows == []  # not agreed yet
    make_approval(quote=quote, by=owner)
    agreed = sum(wish.price_minor for wish in quote.wishes.all())
    (line,) = owed_to_us(ON).rows
    assert (line.amount_minor, line.detail) == (agreed, "agreed; the work is not done yet")
    for item in commission.order.items.all():
        close_item(item=item, result="Done", by=owner, on=ON)
    close_order(order=commission.order, by=owner, on=ON)
    assert [(each.amount_minor, each.detail) for each in owed_to_us(ON).rows] == [(agreed, "")]
    take_for_work(commission=commission, amount_minor=agreed, method="card", **given())
    assert owed_to_us(ON).rows == we_owe(ON).rows == []


def test_the_books_and_all_cards_together_say_the_same(owner):
    make_sale(paid=40_000, price=90_000)
    ending = make_delivered_sale(paid=90_000)
    give_notice(sale=ending, kind="goodwill", told_on=ON, by=owner)
    commission = make_commission(by=owner)
    make_approval(quote=make_quote(commission=commission, by=owner), by=owner)
    agreement = make.make_sale_or_return(by=owner)
    ida = make.make_person(name="Ida")
    sell(instrument=agreement.instrument, person=ida, price_minor=150_000, **given())
    beyond = make_commission(by=owner)
    make_approval(quote=make_quote(commission=beyond, by=owner), by=owner)
    take_for_work(commission=beyond, amount_minor=1_000, method="card", **given())
    withdraw_commission(commission=beyond, reason="They moved", by=owner, on=ON)
    cards = [card_of(each, on=ON) for each in Person.objects.filter(merged_into__isnull=True)]
    theirs, ours = [each for card in cards for each in card.they_owe], [d for c in cards for d in c.we_owe]
    assert len(theirs) == 3 and sorted(owed_to_us(ON).rows, key=str) == sorted(theirs, key=str)
    assert len(ours) == 3 and sorted(we_owe(ON).rows, key=str) == sorted(ours, key=str)


def test_the_books_list_a_hundred_lines_and_sum_them_all():
    side = Side.of(Due("Ida", "work", 100, "/") for _ in range(103))
    assert (len(side.rows), side.more, side.all_minor) == (100, 3, 10_300)


def test_what_is_paid_on_open_holds_and_trials_is_told_beside(owner):
    make.make_running_trial(pay_now_minor=50_000)
    place_hold(
        instrument=make.make_instrument(),
        person=make.make_person(name="Ida"),
        until=LATE,
        deposit_minor=10_000,
        method="card",
        **given(),
    )
    assert held_for_customers() == (2, 60_000)


def test_the_page_shows_both_sides_and_folds_the_stock(client, owner):
    make_sale(paid=40_000, price=90_000)
    client.force_login(owner)
    page = client.get("/books/").content.decode()
    assert "Hester Blount" in page and "£500.00" in page and "Nobody waits for money from us." in page
    assert '<details class="data-table">' in page
    assert '<details class="data-table" open>' in client.get("/books/?page=1").content.decode()


# Receipts by day


def test_receipts_stand_by_day_with_the_sums_of_each_method():
    first = make_sale(paid=40_000, price=90_000)
    take_payment(promise=first.promise, amount_minor=10_000, method="cash", **given())
    take_payment(promise=first.promise, amount_minor=5_000, method="cash", **given(LATE))
    days = days_of(receipts_between(None, None))
    assert [day.on for day in days] == [LATE, ON]
    assert [(each.method, each.amount_minor) for each in days[1].sums] == [("card", 40_000), ("cash", 10_000)]
    assert [day.money_minor for day in days] == [5_000, 50_000]
    assert [(each.method, each.amount_minor) for each in sums_of(receipts_between(LATE, None))] == [
        ("cash", 5_000)
    ]


def test_the_days_of_a_page_have_the_sums_of_the_whole_day():
    sale = make_sale(price=90_000)
    for _ in range(3):
        take_payment(promise=sale.promise, amount_minor=1_000, method="cash", **given())
    assert days_of(receipts_between(None, None)[:1])[0].money_minor == 3_000


def test_what_is_only_value_is_no_money_of_the_day(owner):
    sale = make_sale(price=90_000)
    take_payment(promise=sale.promise, amount_minor=20_000, method="exchange", **given())
    day = days_of(receipts_between(None, None))[0]
    assert (day.money_minor, day.sums[0].is_money) == (0, False)


def test_a_number_that_lacks_is_named(client, owner):
    make_sale(paid=40_000)
    assert numbers_lacking() == []
    NumberSeries.objects.filter(series="receipt").update(last=3)
    assert numbers_lacking() == ["RC26-002", "RC26-003"]
    client.force_login(owner)
    page = client.get("/books/receipts/").content.decode()
    assert "Numbers are lacking:</strong> RC26-002, RC26-003" in page


def test_the_page_and_the_csv_tell_the_same_receipts(client, owner):
    sale = make_sale(paid=40_000)
    take_payment(promise=sale.promise, amount_minor=5_000, method="cash", **given(LATE))
    client.force_login(owner)
    page = client.get(f"{reverse('shop:receipt_list')}?since={LATE}").content.decode()
    assert "RC26-002" in page and "RC26-001" not in page and "none is lacking" in page
    text = b"".join(client.get(f"{reverse('shop:receipt_export')}?since={ON}")).decode("utf-8-sig")
    rows = list(csv.DictReader(io.StringIO(text)))
    assert [(row["receipt"], row["method"], row["amount"]) for row in rows] == [
        ("RC26-001", "Card", "400.00"),
        ("RC26-002", "Cash", "50.00"),
    ]
    wrong = client.get("/books/receipts/?since=soon")
    assert wrong.status_code == 200 and "RC26-001" in wrong.content.decode()


def test_receipts_are_listed_within_a_fixed_number_of_queries(client, owner, django_assert_max_num_queries):
    sale = make_sale(price=90_000)
    for days in range(5):
        take_payment(
            promise=sale.promise, amount_minor=100, method="cash", **given(ON + timedelta(days=days))
        )
    client.force_login(owner)
    client.get("/books/receipts/")
    with django_assert_max_num_queries(14):
        client.get("/books/receipts/")
    assert Receipt.objects.count() == 5


# What was kept


def hold_with_kept_money():
    hold = place_hold(
        instrument=make.make_instrument(),
        person=make.make_person(name="Hester Blount"),
        until=ON + timedelta(days=14),
        deposit_minor=10_000,
        method="card",
        **given(),
    )
    told = {"kept_minor": 2_000, "kept_reason": "A carrier was booked", "told_how": "Our letter of today"}
    return release_hold(promise=hold, give_back="refund", method="card", **told, **given(LATE))


def test_every_kept_sum_stands_in_one_list_whatever_kept_it(owner):
    hold = hold_with_kept_money()
    give_back_later(promise=hold, amount_minor=500, method="card", reason="We re-let it", **given(LATE))
    trial = make.make_running_trial(pay_now_minor=50_000)
    scratch = Agreed("damage", "A scratch", 5_000, "signed", ON)
    return_trial(trial=trial, deduction=scratch, give_back="refund", method="cash", **given())
    give_back_later(promise=trial.promise, amount_minor=1_000, method="cash", reason="Half of it", **given())
    sale = make_delivered_sale(paid=90_000)
    end_sale(
        sale=sale,
        kind="goodwill",
        reason="Too loud",
        method="card",
        deduction_minor=7_000,
        deduction_for="Carriage",
        **given(),
    )
    lines = kept_lines(EVER)
    ended = Promise.objects.filter(closed_at__isnull=False)
    assert sum(line.amount_minor for line in lines) == sum(value_in(each) for each in ended) == 12_500
    assert {line.what for line in lines} == {
        *("Hold", "Hold, given back later", "Home trial", "Home trial, given back later", "Sale"),
    }
    assert [line.amount_minor for line in kept_lines(Between(LATE, LATE))] == [2_000, -500]


def test_the_report_of_kept_money_says_that_none_of_it_is_in_the_tax_book(client, owner):
    hold_with_kept_money()
    client.force_login(owner)
    page = client.get("/books/reports/kept/").content.decode()
    assert CAUTION in page and "A carrier was booked" in page and "£20.00" in page
    text = b"".join(client.get("/books/reports/kept/table.csv")).decode("utf-8-sig")
    assert '"20.00"' in text and "A carrier was booked" in text
