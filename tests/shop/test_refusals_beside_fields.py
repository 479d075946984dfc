"""What an act about money refuses stands beside the field that it speaks of, and gives the limit."""

from uuid import uuid4

import pytest
from django.utils import timezone

from instruments.problems import Blocked, Blocker
from instruments.views.answers import say_refused
from shop.actions.deductions import Agreed, agree_deduction
from shop.actions.ledger import release_to_credit
from shop.actions.sales import sell
from shop.forms import CreditForm
from tests import make

pytestmark = pytest.mark.django_db


@pytest.fixture
def desk(client, seller):
    client.force_login(seller)
    return client


def errors(desk, url: str, **typed) -> dict:
    return desk.post(url, {"form_token": uuid4().hex} | typed).context["form"].errors


def with_credit(amount_minor: int):
    """Somebody with so much in credit, out of a sale that is not paid yet."""
    by, on = make.somebody(), timezone.localdate()
    person, given = make.make_person(name="Nell"), {"by": by, "on": on}
    sale = sell(
        instrument=make.make_instrument(),
        person=person,
        price_minor=90_000,
        pay_now_minor=amount_minor,
        method="card",
        **given,
    )
    release_to_credit(promise=sale.promise, amount_minor=amount_minor, note="", **given)
    return sale


def test_credit_that_is_not_there(desk):
    sale = with_credit(5_000)
    said = ["Nell has less in credit than that: £50.00."]
    spent = errors(desk, f"/promises/{sale.promise.pk}/credit/", amount_minor="60")
    assert spent == {"amount_minor": said}
    paid_out = errors(desk, f"/people/{sale.person.pk}/credit/pay-out/", amount_minor="60", method="card")
    assert paid_out == {"amount_minor": said}
    sold = {"person": sale.person.pk, "price_minor": "900", "credit_minor": "60", "method": "card"}
    address = f"/stock/{make.make_instrument().stock_number}/sell/"
    assert errors(desk, address, **sold) == {"credit_minor": said}


def test_more_than_is_to_pay_on_a_sale(desk):
    sale = with_credit(5_000)
    paid = errors(desk, f"/promises/{sale.promise.pk}/payment/", amount_minor="900.01", method="card")
    assert paid == {"amount_minor": ["That is more than is still to pay: £900.00."]}


def test_a_deduction_beyond_what_the_lines_agreed_before_leave(desk):
    on = timezone.localdate()
    trial = make.make_running_trial(on=on, pay_now_minor=5_000)
    line = Agreed("damage", "A chip", 2_000, "signed", on)
    agree_deduction(trial=trial, line=line, by=make.somebody(), on=on)
    typed = {"kind": "damage", "words": "Another", "amount_minor": "31", "agreed_how": "signed"}
    said = errors(desk, f"/trials/{trial.number}/deduct/", **typed, agreed_on=on.isoformat())
    words = "The deduction is more than was paid, less £20.00 agreed already: £30.00 can be deducted at most."
    assert said == {"amount_minor": [words]}


def test_a_consumer_s_money_does_not_go_back_another_way(desk):
    """Consumer Contracts Regulations 2013, reg. 34(7)."""
    by, on = make.somebody(), timezone.localdate()
    agreed = {"agreed_where": "distance", "is_consumer": True, "informed_on": on}
    sale = sell(
        instrument=make.make_instrument(),
        person=make.make_person(),
        price_minor=90_000,
        pay_now_minor=90_000,
        method="transfer",
        agreed=agreed,
        by=by,
        on=on,
    )
    typed = {"kind": "right", "reason": "Their stairs", "give_back": "refund", "method": "cash"}
    (said,) = errors(desk, f"/sales/{sale.number}/end/", **typed)["method"]
    assert said.startswith("A consumer is paid back the way they paid, by bank transfer, unless")


def test_what_speaks_of_no_field_of_the_form_stands_over_it():
    form = CreditForm({"amount_minor": "5"})
    form.is_valid()
    say_refused(form, Blocked([Blocker("It waits.", "/stock/"), Blocker("No such day.", "#id_told_on")]))
    assert form.errors == {"__all__": ["It waits.", "No such day."]}
