from uuid import uuid4

import pytest
from django.urls import reverse

from shop.actions.ledger import credit_of, value_in
from shop.actions.trials import return_trial
from shop.models import Payment
from tests import make

pytestmark = pytest.mark.django_db


@pytest.fixture
def in_credit():
    """Somebody whose returned trial left 900.00 in credit."""
    trial = make.make_running_trial()
    return_trial(trial=trial, give_back="credit", by=make.somebody(), on=make.A_DAY)
    return trial.person


def pay_out(client, person, amount, token=None):
    sent = {"amount_minor": amount, "method": "transfer", "reference": "", "form_token": token or uuid4().hex}
    return client.post(reverse("shop:credit_pay_out", args=[person.pk]), sent, follow=True)


def everything_adds_up(person) -> bool:
    money = sum(payment.amount_minor for payment in Payment.objects.toward_price())
    return money == sum(value_in(promise) for promise in person.promises.all()) + credit_of(person)


def test_credit_is_given_back_as_money(client, seller, in_credit):
    client.force_login(seller)
    before = credit_of(in_credit)
    answer = pay_out(client, in_credit, "100")
    assert credit_of(in_credit) == before - 10_000 and everything_adds_up(in_credit)
    assert "Credit paid out" in answer.content.decode()


def test_no_more_credit_is_paid_out_than_there_is(client, seller, in_credit):
    client.force_login(seller)
    before = credit_of(in_credit)
    answer = pay_out(client, in_credit, "99999")
    assert (
        "has less in credit than that" in answer.content.decode()
        and 'value="99999' in answer.content.decode()
    )
    assert credit_of(in_credit) == before


def test_credit_paid_out_twice_by_one_press_is_paid_once(client, seller, in_credit):
    client.force_login(seller)
    before, token = credit_of(in_credit), uuid4().hex
    pay_out(client, in_credit, "100", token)
    pay_out(client, in_credit, "100", token)
    assert credit_of(in_credit) == before - 10_000


def test_the_page_without_credit_says_so(client, seller):
    client.force_login(seller)
    person = make.make_person()
    assert (
        "Nothing is in credit"
        in client.get(reverse("shop:credit_pay_out", args=[person.pk])).content.decode()
    )
    assert "has less in credit" in pay_out(client, person, "1").content.decode()
