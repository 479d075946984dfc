"""Several people press at the same moment. Real threads, real connections, on whichever database is used."""

from concurrent.futures import ThreadPoolExecutor
from threading import Barrier

import pytest
from django.db import connection

from instruments.problems import Refused
from shop.actions.ledger import credit_of, take_payment, use_credit
from shop.actions.sales import sell
from shop.actions.trials import return_trial, start_trial
from shop.models import Payment, Promise
from tests import make

AT_ONCE = 50


def all_at_once(acts):
    """Run every act in a thread of its own, all released together; its result, or the refusal it met."""
    barrier = Barrier(len(acts))

    def run(act):
        try:
            barrier.wait()
            return act()
        except Refused as refused:
            return refused
        finally:
            connection.close()

    with ThreadPoolExecutor(len(acts)) as pool:
        return list(pool.map(run, acts))


@pytest.mark.django_db(transaction=True)
def test_of_many_who_want_one_instrument_exactly_one_gets_it():
    instrument, by = make.make_instrument(), make.somebody()
    trials = [
        make.make_trial(instrument=instrument, person=make.make_person(name=f"Caller {n}"))
        for n in range(AT_ONCE)
    ]
    answers = all_at_once(
        [
            lambda trial=trial: start_trial(trial=trial, method="card", by=by, on=make.A_DAY)
            for trial in trials
        ]
    )
    refused = [answer for answer in answers if isinstance(answer, Refused)]
    winner = Promise.objects.get()
    assert len(refused) == AT_ONCE - 1
    assert all(f"promised to {winner.person.name}" in str(refusal) for refusal in refused)
    assert Payment.objects.count() == 1


@pytest.mark.django_db(transaction=True)
def test_one_credit_is_spent_once_however_many_try():
    person, by = make.make_person(), make.somebody()
    trial = make.make_running_trial(person=person, pay_now_minor=10_000)
    return_trial(trial=trial, give_back="credit", by=by, on=make.A_DAY)
    sales = [
        sell(instrument=make.make_instrument(), person=person, price_minor=50_000, by=by, on=make.A_DAY)
        for _ in range(AT_ONCE)
    ]
    answers = all_at_once(
        [
            lambda sale=sale: use_credit(
                promise=sale.promise, amount_minor=10_000, note="", by=by, on=make.A_DAY
            )
            for sale in sales
        ]
    )
    assert sum(isinstance(answer, Refused) for answer in answers) == AT_ONCE - 1
    assert credit_of(person) == 0


@pytest.mark.django_db(transaction=True)
def test_two_payments_at_once_never_exceed_the_price():
    trial, by = make.make_running_trial(price_minor=100_000, pay_now_minor=40_000), make.somebody()
    all_at_once(
        [
            lambda: take_payment(
                promise=trial.promise, amount_minor=60_000, method="cash", by=by, on=make.A_DAY
            )
        ]
        * AT_ONCE
    )
    assert sum(Payment.objects.values_list("amount_minor", flat=True)) == 100_000
