"""Sale or return: not our stock, sold for its owner, who is paid their part and never more."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.urls import reverse

from instruments.models import Instrument
from instruments.problems import Blocked, Refused
from shop.actions.sale_or_return import hand_back, pay_owner
from shop.actions.sales import sell
from shop.books import stock_at_cost
from shop.models import Paper, PayOut, Purchase, SaleOrReturn
from shop.owners import owed_for, owed_to_owners
from shop.ownership import Whose, ownership_of, without_customers_own
from shop.problems import dealing_problems
from tests import make
from tests.reading import Reading, printed

pytestmark = pytest.mark.django_db


@pytest.fixture
def agreement(owner):
    return make.make_sale_or_return(by=owner)


def sold(agreement, by, price_minor=150_000):
    buyer = make.make_person(name="Bea Buyer")
    return sell(instrument=agreement.instrument, person=buyer, price_minor=price_minor, by=by, on=make.A_DAY)


def test_it_is_offered_but_is_not_our_stock(agreement):
    owned = ownership_of(agreement.instrument)
    assert owned.whose is Whose.OWNER and owned.may_be_offered and not owned.is_stock
    assert agreement.instrument in without_customers_own(Instrument.objects.all())
    assert agreement.instrument not in stock_at_cost() and not Purchase.objects.exists()


def test_a_sale_buys_it_from_the_owner_at_their_part(owner, agreement):
    sold(agreement, owner)
    purchase = Purchase.objects.get()
    assert purchase.price_minor == 105_000 and purchase.route == "returnable"  # 70 % of 1,500
    assert purchase.seller == agreement.owner and purchase.own_number == "P26-001"
    assert ownership_of(agreement.instrument).is_stock and agreement.instrument in stock_at_cost()
    assert owed_to_owners()[0].owed_minor == 105_000
    assert owed_to_owners()[0].due_on == make.A_DAY + timedelta(days=14)


def test_it_is_not_sold_for_less_than_was_agreed(owner, agreement):
    with pytest.raises(Blocked, match="no less than £1,000"):
        sold(agreement, owner, price_minor=99_999)
    assert not Purchase.objects.exists()


def test_the_owner_is_paid_what_is_owed_and_never_more(client, owner, agreement):
    with pytest.raises(Refused, match="nothing is owed"):
        pay_owner(agreement=agreement, amount_minor=1, method="cash", by=owner, on=make.A_DAY)
    sold(agreement, owner)
    client.force_login(owner)
    address = reverse("shop:sale_or_return_pay", args=[agreement.number])
    sent = {"amount_minor": "1050.01", "method": "transfer", "reference": "", "form_token": uuid4().hex}
    assert "no more can be paid out" in client.post(address, sent).content.decode()
    assert "£1,050.00" in client.get(reverse("shop:books")).content.decode()
    client.post(address, sent | {"amount_minor": "1050", "form_token": uuid4().hex})
    assert PayOut.objects.get().amount_minor == 105_000 and owed_for(agreement).owed_minor == 0
    assert owed_to_owners() == []


def test_a_fixed_sum_is_the_owners_whatever_it_sells_for(owner):
    agreement = make.make_sale_or_return(by=owner, share_percent=None, net_minor=80_000)
    sold(agreement, owner, price_minor=200_000)
    assert owed_for(agreement).owed_minor == 80_000


def test_it_is_lent_only_where_the_owner_agreed(owner, agreement):
    words = [problem.sentence for problem in dealing_problems(agreement.instrument, act="lending")]
    assert any("not agreed to home trials" in sentence for sentence in words)
    SaleOrReturn.objects.filter(pk=agreement.pk).update(may_be_lent=True)
    words = [problem.sentence for problem in dealing_problems(agreement.instrument, act="lending")]
    assert not any("home trials" in sentence for sentence in words)


def test_what_went_home_is_offered_no_more(owner, agreement):
    hand_back(agreement=agreement, why="Not wanted", by=owner, on=make.A_DAY)
    assert not ownership_of(agreement.instrument).may_be_offered
    assert agreement.instrument not in without_customers_own(Instrument.objects.all())
    with pytest.raises(Blocked):
        sold(agreement, owner)


def test_it_does_not_go_home_while_it_is_promised(owner, agreement):
    sold(agreement, owner)
    with pytest.raises(Refused, match="promised to somebody"):
        hand_back(agreement=agreement, why="x", by=owner, on=make.A_DAY)


def test_the_page_makes_agreement_and_paper(client, buyer):
    client.force_login(buyer)
    typed = {
        **{"kind": "upright", "maker": "Wexcombe", "keys": "85", "natural_covering": "celluloid"},
        **{"sharp_covering": "stained", "place": "showroom", "new_name": "Otto Owner"},
        **{"new_address": "Garth Hall", "share_percent": "70", "least_minor": "1000", "payout_days": "14"},
        **{"begins_on": "2026-03-01", "until": "2026-09-01", "form_token": uuid4().hex},
    }
    address = reverse("shop:sale_or_return_new")
    wrong = client.post(address, typed | {"net_minor": "500", "until": "2026-01-01"}).content.decode()
    assert "one of the two" in wrong and "before it begins" in wrong and not SaleOrReturn.objects.exists()
    client.post(address, typed | {"form_token": uuid4().hex})
    agreement = SaleOrReturn.objects.get()
    print_address = reverse("shop:sale_or_return_print", args=[agreement.number])
    assert "Not printed yet" in client.get(print_address).content.decode() and not Paper.objects.exists()
    pdf = printed(client, print_address).content
    words = " ".join(Reading(pdf).text.split())
    for wanted in ("Otto Owner", "Garth Hall", "70 %", "£1,000.00", "1 September 2026", "Signature"):
        assert wanted in words, wanted
    assert client.get(print_address).content == printed(client, print_address).content == pdf
