"""The money of one instrument: lines that add up, what is to come, the floor, and who may go below it."""

from datetime import timedelta
from decimal import Decimal
from uuid import uuid4

import pytest
from django.utils import timezone

from instruments.actions.moves import move_instrument
from instruments.problems import Blocked
from shop.actions.money import add_cost, add_estimate, set_price
from shop.actions.profile import change_profile
from shop.actions.sales import sell
from shop.cost_entries import lines_of
from shop.costs import true_cost, true_costs
from shop.models import AskingPrice, CostEstimate, OfferCalculation
from tests import make
from workorders.actions.bench import log_time, set_rate, use_part
from workorders.models import OutsideBill, OutsideJob, Outworker

pytestmark = pytest.mark.django_db

ON = make.A_DAY


def standing(instrument, since, by):
    move_instrument(instrument=instrument, place="workshop", by=by, on=since)


@pytest.fixture
def piano(owner):
    """Bought for £500; £80 transport, two hours at £40 of three, £12.50 of felt, one job outside."""
    found = make.make_instrument(by=owner)
    make.make_purchase(instrument=found, price_minor=50_000, bought_on=ON, by=owner)
    add_cost(instrument=found, kind="transport", amount_minor=8_000, note="two men", by=owner, on=ON)
    set_rate(per_hour_minor=4_000, since=ON, by=owner)
    item = make.make_item(order=make.make_order(instrument=found), usual_minutes=180)
    log_time(item=item, person=owner, minutes=120, by=owner, on=ON)
    use_part(item=item, name="Felt", quantity=Decimal(1), cost_minor=1_250, by=owner, on=ON)
    job = OutsideJob.objects.create(
        number="J1",
        order=item.order,
        outworker=Outworker.objects.create(name="Hazel & Finch"),
        kind="polishing",
        work="polish the fall",
        agreed_minor=20_000,
        asked_on=ON,
    )
    OutsideBill.objects.create(job=job, amount_minor=5_000, billed_on=ON, is_last=False, recorded_by=owner)
    return found


def test_true_cost_adds_up_and_tells_what_is_to_come(piano):
    cost = true_cost(piano, on=ON)
    assert {kind: amount for kind, amount in cost.spent.items() if amount} == {
        "purchase": 50_000,
        "transport": 8_000,
        "labour": 8_000,
        "parts": 1_250,
        "outwork": 5_000,
    }
    assert {kind: amount for kind, amount in cost.to_come.items() if amount} == {
        "labour": 4_000,
        "outwork": 15_000,
    }
    assert (cost.total_minor, cost.to_come_minor) == (72_250, 19_000)


def test_lines_add_up_to_the_sum_and_name_source_and_day(piano, owner):
    cost = true_cost(piano, on=ON)
    lines = lines_of(piano, cost, user=owner)
    assert sum(line.amount_minor for line in lines) == cost.total_minor
    assert [(line.kind, line.on) for line in lines] == [
        (kind, ON) for kind in ("purchase", "transport", "labour", "parts", "outwork")
    ]
    assert all(line.source for line in lines)


def test_floor_covers_all_that_is_to_come_and_the_profit_wanted(piano, owner):
    change_profile(by=owner, wanted_profit_minor=10_000)
    # purchase 500, other 412.50, profit 100: 500 + 1.2 x 512.50 (VAT on the margin at a fifth; derived)
    assert true_cost(piano, on=ON).floor_minor == 50_000 + 61_500
    add_estimate(instrument=piano, kind="profit", amount_minor=20_000, by=owner, on=ON)
    assert true_cost(piano, on=ON).floor_minor == 50_000 + 73_500


def test_estimates_entered_count_over_the_calculation_of_the_offer(piano, owner):
    OfferCalculation.objects.create(
        instrument=piano,
        sale_minor=200_000,
        hours=Decimal(4),
        rate_minor=4_000,
        tuning_minor=9_000,
        transport_minor=6_000,
        scheme="margin",
        rate_percent=20,
        most_minor=50_000,
        calculated_on=ON,
        recorded_by=owner,
    )
    cost = true_cost(piano, on=ON)
    assert (cost.on_file.estimated["labour"], cost.to_come["tuning"], cost.to_come["transport"]) == (
        16_000,
        9_000,
        0,
    )
    add_estimate(instrument=piano, kind="tuning", amount_minor=4_000, by=owner, on=ON)
    assert true_cost(piano, on=ON).to_come["tuning"] == 4_000


def test_storage_accrues_while_it_stands_with_us_and_stops_with_the_sale(owner):
    change_profile(by=owner, storage_week_minor=700, storage_free_weeks=1)
    piano = make.make_instrument(by=owner)
    make.make_purchase(instrument=piano, price_minor=50_000, by=owner)
    standing(piano, ON, owner)
    assert true_cost(piano, on=ON + timedelta(weeks=5)).spent["storage"] == 4 * 700
    move_instrument(instrument=piano, place="customer", by=owner, on=ON + timedelta(weeks=5))
    assert true_cost(piano, on=ON + timedelta(weeks=50)).spent["storage"] == 4 * 700


def test_reserve_is_held_from_the_sale_and_released_when_the_guarantee_ends(owner):
    change_profile(by=owner, reserve_percent=Decimal(5), reserve_fixed_minor=1_000, guarantee_months=12)
    piano = make.make_instrument(by=owner)
    make.make_purchase(instrument=piano, price_minor=50_000, by=owner)
    make.make_price(instrument=piano, amount_minor=100_000)
    assert true_cost(piano, on=ON).to_come["reserve"] == 6_000
    sell(instrument=piano, person=make.make_person(), price_minor=90_000, by=owner, on=ON)
    assert true_cost(piano, on=ON).spent["reserve"] == 5_500
    add_cost(instrument=piano, kind="guarantee", amount_minor=2_000, by=owner, on=ON)
    cost = true_cost(piano, on=ON)
    assert (cost.spent["reserve"], cost.spent["guarantee"]) == (3_500, 2_000)
    assert true_cost(piano, on=ON + timedelta(days=400)).spent["reserve"] == 0


def test_queries_do_not_grow_with_the_instruments(piano, owner, django_assert_num_queries):
    others = [make.make_instrument(by=owner) for _ in range(3)]
    for each in others:
        make.make_purchase(instrument=each, by=owner)
        make.make_price(instrument=each)
    with django_assert_num_queries(2):
        true_costs([piano])
    with django_assert_num_queries(2):
        true_costs([piano, *others])


def test_the_books_list_says_what_the_reckoning_says(client, owner, piano):
    client.force_login(owner)
    page = client.get("/books/").content.decode()
    cost = true_cost(piano, on=timezone.localdate())
    assert "£722.50" in page and cost.total_minor == 72_250


@pytest.fixture
def dear(owner):
    """Bought for £1,000, so that it is sold at a loss for less."""
    found = make.make_instrument(by=owner)
    make.make_purchase(instrument=found, price_minor=100_000, by=owner)
    return found


def test_price_below_the_floor_takes_the_right_and_a_reason(dear, owner, seller):
    with pytest.raises(Blocked, match="Only somebody who runs the shop"):
        set_price(instrument=dear, amount_minor=90_000, reason="to move it", by=seller, on=ON)
    with pytest.raises(Blocked, match="Say why"):
        set_price(instrument=dear, amount_minor=90_000, reason=" ", by=owner, on=ON)
    kept = set_price(instrument=dear, amount_minor=90_000, reason="to move it", by=owner, on=ON)
    assert kept.floor_minor == 100_000


def test_price_form_says_it_beside_the_form_and_keeps_what_was_typed(client, seller, dear):
    client.force_login(seller)
    typed = {"form_token": uuid4().hex, "amount_minor": "900", "reason": "quick sale"}
    page = client.post(f"/stock/{dear.stock_number}/price/", typed).content.decode()
    assert "below the floor" in page and "quick sale" in page
    assert "1,000" not in page  # what it cost is not for this person
    assert not AskingPrice.objects.exists()


def test_page_tells_lines_estimates_prices_and_who(client, owner, piano):
    set_price(instrument=piano, amount_minor=60_000, reason="shop-soiled", by=owner, on=ON)
    client.force_login(owner)
    sent = {"form_token": uuid4().hex, "kind": "delivery", "amount_minor": "95", "note": "second floor"}
    client.post(f"/stock/{piano.stock_number}/estimate/", sent)
    page = client.get(f"/stock/{piano.stock_number}/money/").content.decode()
    for words in (
        "The asking price is below the floor",
        "two men",
        "bill for J1",
        "shop-soiled",
        "Below the floor of",
        "second floor",
        "£95.00",
    ):
        assert words in page
    assert CostEstimate.objects.get().recorded_by == owner


def test_page_of_what_nothing_was_spent_on_says_what_to_do(client, owner):
    client.force_login(owner)
    page = client.get(f"/stock/{make.make_instrument().stock_number}/money/").content.decode()
    assert "Nothing was spent yet." in page
