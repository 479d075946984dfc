"""Cards are joined while money moves. Real threads, real connections, on whichever database is used."""

import pytest
from django.db.models import Sum

from instruments.problems import Refused
from shop.actions.joining import join_cards
from shop.actions.ledger import credit_of, take_payment, use_credit
from shop.actions.sales import sell
from shop.actions.trials import return_trial
from shop.models import CreditEntry, Payment, Person
from tests import make
from tests.shop.test_promise_race import all_at_once

pytestmark = pytest.mark.django_db(transaction=True)
MANY = 12


def joining(double, into, by):
    return lambda: join_cards(double=double, into=into, facts={}, reason="They said so", by=by, on=make.A_DAY)


def test_payments_on_both_cards_go_through_or_are_refused_with_a_sentence_while_the_cards_are_joined():
    into, double, by = make.make_person(), make.make_person(), make.somebody()
    trials = [
        make.make_running_trial(person=card, price_minor=100_000, pay_now_minor=0)
        for card in [double, into] * (MANY // 2)
    ]
    pays = [
        lambda trial=trial: take_payment(
            promise=trial.promise, amount_minor=60_000, method="cash", by=by, on=make.A_DAY
        )
        for trial in trials
    ]
    answers = all_at_once([*pays, joining(double, into, by), *pays])
    refused = [str(answer) for answer in answers if isinstance(answer, Refused)]
    assert Person.objects.get(pk=double.pk).merged_into == into
    assert all("more than is still to pay" in each or "Press once more" in each for each in refused)
    paid = Payment.objects.values("promise").annotate(sum=Sum("amount_minor"))
    assert all(each["sum"] == 60_000 for each in paid)
    assert len(paid) + len(refused) >= MANY


def test_credit_of_both_cards_is_spent_once_while_the_cards_are_joined():
    into, double, by = make.make_person(), make.make_person(), make.somebody()
    for card in (into, double):
        trial = make.make_running_trial(person=card, pay_now_minor=10_000)
        return_trial(trial=trial, give_back="credit", by=by, on=make.A_DAY)
    sales = [
        sell(instrument=make.make_instrument(), person=card, price_minor=50_000, by=by, on=make.A_DAY)
        for card in [double, into] * (MANY // 2)
    ]
    spends = [
        lambda sale=sale: use_credit(promise=sale.promise, amount_minor=10_000, note="", by=by, on=make.A_DAY)
        for sale in sales
    ]
    all_at_once([*spends, joining(double, into, by)])
    all_at_once(spends)
    into.refresh_from_db()
    assert credit_of(into) == 0
    assert CreditEntry.objects.aggregate(sum=Sum("amount_minor"))["sum"] == 0
    assert CreditEntry.objects.filter(amount_minor=-10_000).count() == 2


def test_of_two_who_join_the_same_cards_either_way_round_one_does():
    one, other, by = make.make_person(), make.make_person(), make.somebody()
    answers = all_at_once([joining(one, other, by), joining(other, one, by)] * 4)
    assert sum(isinstance(answer, Refused) for answer in answers) == 7
    assert Person.objects.filter(merged_into__isnull=False).count() == 1
