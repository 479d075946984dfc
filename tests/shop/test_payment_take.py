"""Money toward a promise: never into one that has ended, and never toward a hold, which has no price."""

from datetime import timedelta
from uuid import uuid4

import pytest
from django.urls import reverse
from django.utils.timezone import localdate

from instruments.problems import Refused
from shop.actions.ledger import credit_of, release_to_credit, take_payment, use_credit, value_in
from shop.actions.periods import close_period
from shop.actions.promises import place_hold
from shop.actions.sales import sell
from shop.actions.trials import return_trial
from shop.models import CreditEntry
from shop.statements import account_of
from tests import make

pytestmark = pytest.mark.django_db
ON = make.A_DAY


@pytest.fixture
def desk(client, seller):
    client.force_login(seller)
    return client


def pay(promise, amount_minor: int):
    take_payment(promise=promise, amount_minor=amount_minor, method="cash", by=make.somebody(), on=ON)


def a_sale(person=None):
    return sell(
        instrument=make.make_instrument(),
        person=person or make.make_person(),
        price_minor=100_000,
        by=make.somebody(),
        on=ON,
    )


def test_payment_is_refused_once_the_trial_has_ended():
    trial = make.make_running_trial(pay_now_minor=50_000)
    return_trial(trial=trial, give_back="refund", method="cash", by=make.somebody(), on=ON)
    with pytest.raises(Refused, match="This home trial has ended"):
        pay(trial.promise, 10_000)
    assert value_in(trial.promise) == 0


def test_credit_is_not_spent_on_a_trial_that_has_ended():
    trial = make.make_running_trial(pay_now_minor=50_000)
    return_trial(trial=trial, give_back="credit", by=make.somebody(), on=ON)
    with pytest.raises(Refused, match="has ended"):
        use_credit(promise=trial.promise, amount_minor=10_000, note="", by=make.somebody(), on=ON)
    assert credit_of(trial.person) == 50_000


def test_payment_page_knows_no_hold(desk):
    hold = place_hold(
        instrument=make.make_instrument(),
        person=make.make_person(),
        until=ON + timedelta(days=9),
        by=make.somebody(),
        on=ON,
    )
    assert desk.get(reverse("shop:payment_take", args=[hold.pk])).status_code == 404


def test_credit_of_nothing_is_refused_beside_the_field(desk):
    url = reverse("shop:credit_spend", args=[a_sale().promise.pk])
    page = desk.post(url, {"form_token": uuid4().hex, "amount_minor": "0"})
    assert page.context["form"].errors["amount_minor"] == ["Say how much of it is used."]
    assert not CreditEntry.objects.exists()


def test_account_shows_the_newest_lines_and_the_credit_that_stands_after_them():
    person, by = make.make_person(), make.somebody()
    promise = a_sale(person).promise
    for amount_minor in (1_000, 2_000, 3_000):
        pay(promise, amount_minor)
        release_to_credit(promise=promise, amount_minor=amount_minor, note="", by=by, on=ON)
    lines = account_of(person, limit=3)
    assert [line.credit_after_minor for line in lines] == [3_000, 3_000, 6_000]
    assert [line.paid_minor or line.credit_minor for line in lines] == [2_000, 3_000, 3_000]


def send_payment(desk, sale, **typed):
    form = {"amount_minor": "100", "method": "cash", "form_token": uuid4().hex} | typed
    return desk.post(reverse("shop:payment_take", args=[sale.promise.pk]), form)


def test_a_payment_is_entered_on_the_day_it_was_received(desk):
    sale = a_sale()
    send_payment(desk, sale, paid_on=f"{ON + timedelta(days=2)}")
    assert sale.promise.payments.get().paid_on == ON + timedelta(days=2)
    send_payment(desk, sale)
    assert sale.promise.payments.last().paid_on == localdate()


def test_its_day_is_not_before_the_sale_nor_to_come_nor_in_a_closed_period(desk):
    sale = a_sale()
    ends_on = ON + timedelta(days=9)
    close_period(starts_on=ON, ends_on=ends_on, by=make.somebody(), on=ends_on + timedelta(days=1))
    for day, sentence in (
        (ON - timedelta(days=1), "It was sold on 21 March 2026: give that day or a later one."),
        (localdate() + timedelta(days=1), "That day has not come yet."),
        (ON + timedelta(days=2), "The books are closed up to 30 March 2026"),
    ):
        answer = send_payment(desk, sale, paid_on=f"{day}", reference="slip 7")
        assert sentence in str(answer.context["form"].errors["paid_on"])
        assert "slip 7" in answer.content.decode() and not sale.promise.payments.exists()
