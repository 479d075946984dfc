"""A long list reads the keys of one page alone, and only where there are surely more than are counted."""

from datetime import timedelta

import pytest
from django.http import QueryDict

from instruments.models import Instrument
from instruments.models.worded import Worded
from shop.actions.promises import place_hold
from shop.actions.sale_or_return import hand_back
from shop.actions.sales import sell
from shop.forms.stock import StockForm
from shop.pages import PartOfMany, page_of_keys
from shop.stock import ALL_BUT_KEPT_OUT, in_state, surely_many
from tests.make import A_DAY, make_instrument, make_person, make_price, make_sale_or_return, make_taken_in

pytestmark = [pytest.mark.django_db, pytest.mark.both]


@pytest.fixture
def of_every_kind(owner):
    """Six that are free, one held, one sold, one a customer's own and one that went home to its owner."""
    for _ in range(8):
        make_price(instrument=make_instrument())
    held, sold = Instrument.objects.order_by("pk")[:2]
    terms = {"person": make_person(), "by": owner, "on": A_DAY}
    place_hold(instrument=held, until=A_DAY + timedelta(days=7), **terms)
    sell(instrument=sold, price_minor=180_000, **terms)
    make_taken_in()
    hand_back(agreement=make_sale_or_return(), why="Not wanted", by=owner, on=A_DAY)


def surely(state: str, count: int) -> bool:
    return any(so for (so,) in Worded.of(surely_many(state, count)).rows())


@pytest.mark.parametrize("state", sorted(ALL_BUT_KEPT_OUT))
def test_there_are_surely_as_many_as_there_are_and_no_more(of_every_kind, state):
    count = in_state(Instrument.objects.all(), state).count()
    assert count == {"free": 6, "in_stock": 7, "all": 10}[state]
    assert (surely(state, count), surely(state, count + 1)) == (True, False)


def test_what_is_kept_out_twice_is_no_reason_to_say_there_are_more(of_every_kind):
    sold = Instrument.objects.order_by("pk")[1]
    make_taken_in(instrument=sold)
    assert in_state(Instrument.objects.all(), "in_stock").count() == 7
    assert (surely("in_stock", 6), surely("in_stock", 8)) == (True, False)


def test_only_so_many_of_the_newest_are_looked_at(of_every_kind, monkeypatch):
    monkeypatch.setattr("shop.stock.AMONG_NEWEST", 5)
    assert (surely("all", 5), surely("all", 6)) == (True, False)


def test_an_empty_shop_has_not_many():
    assert not surely("all", 1)
    assert StockForm(QueryDict("")).keys(most=3, part=range(2)) == []


@pytest.mark.parametrize("asked", ["", "state=free", "state=all", "sort=maker", "sort=dearest&state=free"])
def test_a_part_of_many_is_the_part_of_all(of_every_kind, asked):
    form = StockForm(QueryDict(asked))
    part = form.keys(most=5, part=range(2, 4))
    assert isinstance(part, PartOfMany)
    assert (len(part), part[2:4]) == (5, form.keys(most=5)[2:4])


@pytest.mark.parametrize(
    "asked", ["kind=upright", "q=castlemere", "state=sold", "height_from=0", "compass=88"]
)
def test_a_narrowed_list_is_read_whole(of_every_kind, asked):
    form = StockForm(QueryDict(asked))
    assert form.keys(most=3, part=range(2)) == form.keys(most=3)


def test_where_there_are_not_so_many_all_are_read(of_every_kind):
    form = StockForm(QueryDict("state=free"))
    assert form.keys(most=7, part=range(2)) == form.keys(most=7)
    assert len(form.keys(most=7)) == 6


def test_no_other_part_can_be_asked_of_one():
    page = page_of_keys(PartOfMany([7, 8], range(2, 4), 5), "2", size=2)
    assert (page.object_list, page.paginator.count, page.has_next()) == ([7, 8], 5, True)
    with pytest.raises(IndexError):
        page_of_keys(PartOfMany([7, 8], range(2, 4), 5), "1", size=2)
