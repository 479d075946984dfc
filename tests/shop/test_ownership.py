"""Whose an instrument is, and what follows from it: a customer's own is never stock."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.db import IntegrityError, connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from instruments.actions.intake import create_instrument
from instruments.models import Instrument
from instruments.problems import Blocked
from shop.actions.listing import draft_listing
from shop.actions.money import record_purchase, set_price
from shop.actions.promises import place_hold
from shop.actions.sales import sell
from shop.actions.taken_in import hand_back, log_customers_instrument, take_in
from shop.books import stock_at_cost
from shop.costs import true_cost, true_costs
from shop.models import TakenIn
from shop.offering import instruments_to_offer
from shop.ownership import (
    Whose,
    customers_own,
    ownership_of,
    ownerships_of,
    stock_only,
    without_customers_own,
)
from tests.make import A_DAY, make_instrument, make_item, make_order, make_person, make_price, make_taken_in
from tests.make_commission import make_commission
from workorders.actions.bench import log_time, set_rate, use_part

pytestmark = pytest.mark.django_db

PAPER = {"until": A_DAY + timedelta(days=60), "condition": "Worn, complete."}


def test_customers_instruments_are_numbered_apart_so_that_stock_numbers_keep_no_gaps(owner):
    identity = {"kind": "upright", "maker": "Castlemere"}
    first = create_instrument(by=owner, on=A_DAY, **identity)
    theirs = log_customers_instrument(
        identity=identity, person=make_person(), by=owner, on=A_DAY, **PAPER
    ).instrument
    second = create_instrument(by=owner, on=A_DAY, **identity)
    assert [each.stock_number for each in (first, theirs, second)] == ["26-001", "C26-001", "26-002"]


def test_ownership_names_whose_it_is_and_until_when(owner):
    taken_in = make_taken_in(person=make_person(name="Isolde Fenn"), by=owner)
    owned = ownership_of(taken_in.instrument)
    assert (owned.whose, str(owned.person), owned.until, owned.is_here) == (
        Whose.CUSTOMER,
        "Isolde Fenn",
        taken_in.until,
        True,
    )
    assert not owned.is_stock and not owned.may_be_offered
    ours = ownership_of(make_instrument())
    assert (ours.whose, ours.is_stock, ours.may_be_offered) == (Whose.SHOP, True, True)


def test_a_customers_own_stays_theirs_when_it_has_gone_home(owner):
    taken_in = make_taken_in(by=owner)
    hand_back(taken_in=taken_in, to="Wilf Arden", by=owner, on=A_DAY)
    owned = ownership_of(taken_in.instrument)
    assert owned.whose is Whose.CUSTOMER and not owned.is_here


def test_a_piano_we_sold_is_its_owners_while_it_is_here_and_stays_in_the_stock_book(owner):
    instrument, person = make_instrument(), make_person()
    with pytest.raises(Blocked, match="shop’s own"):
        take_in(instrument=instrument, person=person, by=owner, on=A_DAY, **PAPER)
    sell(instrument=instrument, person=person, price_minor=90_000, by=owner, on=A_DAY)
    take_in(instrument=instrument, person=person, by=owner, on=A_DAY, **PAPER)
    assert ownership_of(instrument).whose is Whose.CUSTOMER
    assert instrument in stock_only(Instrument.objects)


def test_the_lists_ask_one_place(owner):
    theirs, ours = make_taken_in(by=owner).instrument, make_instrument()
    assert list(customers_own(Instrument.objects)) == [theirs]
    assert list(without_customers_own(Instrument.objects)) == [ours]
    assert list(instruments_to_offer()) == [ours]
    assert list(stock_at_cost()) == [ours]


def test_asking_of_many_takes_no_more_queries_than_asking_of_one(owner):
    def counted(instruments) -> int:
        with CaptureQueriesContext(
            connection,
        ) as asked:
            ownerships_of(instruments)
        return len(asked)

    one = [make_taken_in(by=owner).instrument]
    many = [*one, *(make_taken_in(by=owner).instrument for _ in range(3)), make_instrument()]
    assert counted(one) == counted(many)


@pytest.mark.parametrize("act", ["price", "list", "buy", "hold", "sell"])
def test_it_is_never_priced_listed_bought_lent_or_sold(owner, act):
    instrument, person = make_taken_in(by=owner).instrument, make_person(name="Bea Lund")
    acts = {
        "price": lambda: set_price(instrument=instrument, amount_minor=100, by=owner, on=A_DAY),
        "list": lambda: draft_listing(instrument=instrument, by=owner),
        "buy": lambda: record_purchase(instrument=instrument, route="private", by=owner),
        "hold": lambda: place_hold(instrument=instrument, person=person, until=A_DAY, by=owner, on=A_DAY),
        "sell": lambda: sell(instrument=instrument, person=person, price_minor=100, by=owner, on=A_DAY),
    }
    with pytest.raises(Blocked, match="cannot be priced, offered, lent or sold"):
        acts[act]()


def test_the_database_takes_it_in_once_at_a_time(owner):
    taken_in = make_taken_in(by=owner)
    with pytest.raises(IntegrityError):
        make_taken_in(instrument=taken_in.instrument, by=owner)


def test_it_goes_home_when_no_work_on_it_is_open(owner):
    taken_in = make_taken_in(by=owner)
    make_order(instrument=taken_in.instrument)
    with pytest.raises(Blocked, match="still open"):
        hand_back(taken_in=taken_in, to="Wilf Arden", by=owner, on=A_DAY)
    assert TakenIn.objects.get().is_here


def test_the_stock_list_shows_it_only_where_it_is_asked_for(client, owner):
    client.force_login(owner)
    theirs, ours = make_taken_in(by=owner).instrument, make_instrument()
    make_price(instrument=ours)

    def shown(**asked) -> set[str]:
        page = client.get(reverse("stock"), asked).content.decode()
        return {each.stock_number for each in (theirs, ours) if f">{each.stock_number} ·" in page}

    assert shown() == {ours.stock_number}
    assert shown(state="customers") == {theirs.stock_number}
    assert shown(state="all") == {theirs.stock_number, ours.stock_number}
    for state in ("free", "open_work", "sold", "window"):
        assert theirs.stock_number not in shown(state=state)


def test_work_for_a_customer_on_a_piano_we_sold_is_no_cost_of_our_stock(owner):
    instrument, person = make_instrument(), make_person()
    sell(instrument=instrument, person=person, price_minor=90_000, by=owner, on=A_DAY)
    set_rate(per_hour_minor=3_000, since=A_DAY, by=owner)
    before = make_item(order=make_order(instrument=instrument))
    log_time(item=before, person=owner, minutes=60, by=owner, on=A_DAY)
    take_in(instrument=instrument, person=person, by=owner, on=A_DAY, **PAPER)
    commission = make_commission(taken_in=TakenIn.objects.get(), by=owner)
    theirs = make_item(order=commission.order)
    log_time(item=theirs, person=owner, minutes=600, by=owner, on=A_DAY)
    use_part(item=theirs, name="Felt", quantity=Decimal(1), cost_minor=500, by=owner, on=A_DAY)
    told = true_cost(instrument)
    assert (told.labour_minor, told.parts_minor) == (3_000, 0)
    (listed,) = true_costs(stock_at_cost()).values()
    assert listed.labour_minor == 3_000
