"""A button pressed twice, a form sent again, an answer that never came: the money moves once."""

from uuid import uuid4

import pytest
from django.urls import reverse

from shop.actions.ledger import credit_of
from shop.actions.trials import return_trial
from shop.models import CreditEntry, Payment
from tests import make

pytestmark = pytest.mark.django_db


@pytest.fixture
def desk(client, seller):
    client.force_login(seller)
    return client


def sent_again(desk, address: str, form: dict) -> list[int]:
    """Press twice, then once more after the answer was lost: what each press was answered with."""
    form = form | {"form_token": uuid4().hex}
    return [desk.post(address, form).status_code for _ in range(3)]


def test_a_payment_is_taken_once(desk):
    trial = make.make_running_trial(pay_now_minor=50_000)
    address = reverse("shop:payment_take", args=[trial.promise.pk])
    answers = sent_again(desk, address, {"amount_minor": "100", "method": "cash", "reference": ""})
    assert set(answers) == {302}
    assert [each.amount_minor for each in Payment.objects.all()] == [50_000, 10_000]


def test_a_refund_is_given_once(desk):
    trial = make.make_running_trial()
    address = reverse("shop:trial_return", args=[trial.number])
    answers = sent_again(desk, address, {"give_back": "refund", "method": "cash", "note": ""})
    assert all(answer < 500 for answer in answers)
    assert [each.amount_minor for each in Payment.objects.all()] == [180_000, -180_000]


def test_credit_is_paid_out_once(desk):
    trial = make.make_running_trial()
    return_trial(trial=trial, give_back="credit", by=make.somebody(), on=make.A_DAY)
    address = reverse("shop:credit_pay_out", args=[trial.person.pk])
    answers = sent_again(desk, address, {"amount_minor": "100", "method": "cash", "reference": ""})
    assert set(answers) == {302}
    assert credit_of(trial.person) == 170_000 and CreditEntry.objects.count() == 2
    assert Payment.objects.filter(amount_minor=-10_000).count() == 1


def test_a_payment_sent_again_after_the_trial_ended_is_answered_as_before(desk):
    trial = make.make_running_trial(pay_now_minor=50_000)
    address = reverse("shop:payment_take", args=[trial.promise.pk])
    form = {"amount_minor": "100", "method": "cash", "reference": "", "form_token": uuid4().hex}
    first = desk.post(address, form)
    return_trial(trial=trial, give_back="credit", by=make.somebody(), on=make.A_DAY)
    assert desk.post(address, form).url == first.url == trial.get_absolute_url()
    late = desk.post(address, form | {"form_token": uuid4().hex})
    assert "This home trial has ended; nothing more is paid toward it." in late.content.decode()
    assert [each.amount_minor for each in Payment.objects.all()] == [50_000, 10_000]
