"""What the races rest on: with a guard removed the same race goes red, so its green means something."""

import pytest
from django.db import connection

from shop.actions.ledger import credit_of
from shop.models import Payment, Promise
from tests import make
from tests.concurrency.callers import all_at_once, one_won
from tests.concurrency.races import all_spend, all_want, payment_filled_in, somebody_with_credit
from tests.concurrency.served import ASKING_FIRST, LOCK_ON_A_PERSON, MEMORY_OF_FORMS
from tests.emptying import put_back

AT_ONCE = 6
ONE_OPEN_PROMISE = next(
    each for each in Promise._meta.constraints if each.name == "one_open_promise_per_instrument"
)


@pytest.fixture(scope="module")
def server(open_shop):
    return open_shop("tests.concurrency.doors:unguarded()")


@pytest.fixture
def constraint_dropped(transactional_db):
    """Put back over an empty database, since what was doubled would not fit under it."""
    with connection.schema_editor() as editor:
        editor.remove_constraint(Promise, ONE_OPEN_PROMISE)
    yield
    put_back(connection)
    if connection.vendor == "postgresql":  # SQLite is copied back whole, constraint and all
        with connection.schema_editor() as editor:
            editor.add_constraint(Promise, ONE_OPEN_PROMISE)


def race_for_an_instrument(callers):
    forms = all_want(make.make_instrument(), callers(AT_ONCE))
    return all_at_once(forms, without=ASKING_FIRST)


def test_database_alone_keeps_an_instrument_to_one_promise_where_nobody_asks_first(callers):
    one_won(race_for_an_instrument(callers))
    assert Promise.objects.count() == 1


def test_without_the_constraint_one_instrument_is_promised_to_everybody(callers, constraint_dropped):
    answers = race_for_an_instrument(callers)
    with pytest.raises(AssertionError):
        one_won(answers)
    assert Promise.objects.open().count() == AT_ONCE


def test_without_the_lock_one_credit_is_spent_more_than_once(callers):
    person = somebody_with_credit()
    answers = all_at_once(all_spend(person, callers(AT_ONCE)), without=LOCK_ON_A_PERSON)
    with pytest.raises(AssertionError):
        one_won(answers)
    assert credit_of(person) < 0


def test_without_the_memory_of_forms_every_press_takes_a_payment(callers):
    promise = make.make_running_trial(pay_now_minor=50_000).promise
    form = payment_filled_in(*callers(1), promise)
    all_at_once([form] * AT_ONCE, without=MEMORY_OF_FORMS)
    assert Payment.objects.count() == 1 + AT_ONCE
