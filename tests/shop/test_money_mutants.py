"""The money machine goes red: each rule broken by hand, one at a time, is found in some thousand dealings."""

from dataclasses import replace

import pytest
from django.db import connection
from django.db.models import Sum

import shop.actions.ledger
import shop.actions.promises
import shop.actions.trial_settling
import shop.actions.trials
import shop.problems
import shop.statements
from shop.states import CreditKind
from tests.shop.test_money_machine import money_alone, nothing_found, run

STEPS = 3_000
SEED = 3
__all__ = ["money_alone"]


def deductions_are_not_counted(patch):
    patch.setattr(shop.actions.trial_settling, "kept_in", lambda promise: 0)


def a_refund_ignores_what_was_refunded(patch):
    def paid_in(promise) -> int:
        paid = promise.payments.toward_price().filter(amount_minor__gt=0)
        left = promise.credit_entries.aggregate(sum=Sum("amount_minor"))["sum"] or 0
        return (paid.aggregate(sum=Sum("amount_minor"))["sum"] or 0) - left

    patch.setattr(shop.actions.ledger, "value_in", paid_in)


def an_exchange_counts_it_all(patch):
    """Whatever share the terms name."""
    counting_of = shop.actions.trial_settling.counting_of

    def whole(trial, *, on):
        return replace(counting_of(trial, on=on), percent=100)

    patch.setattr(shop.actions.trial_settling, "counting_of", whole)


def two_may_be_promised_one_instrument(patch):
    with connection.cursor() as cursor:
        cursor.execute("DROP INDEX one_open_promise_per_instrument")
    for module in (shop.problems, shop.actions.promises):
        patch.setattr(module, "promise_problems", nothing_found)


def a_statement_forgets_what_came_off_again(patch):
    patch.setattr(shop.statements, "_kept_in", lambda person: ({}, []))
    patch.setattr(shop.statements, "_deduction_words", lambda promise: "")
    patch.setattr(shop.statements, "held_in", lambda person: {})


def nothing_is_brought_across(patch):
    patch.setattr(shop.actions.trials, "use_credit", lambda **given: None)


def any_credit_is_enough(patch):
    look = shop.actions.ledger._refuse_above_credit
    patch.setattr(
        shop.actions.ledger, "_refuse_above_credit", lambda person, amount: look(person, min(amount, 1))
    )


def more_is_taken_than_the_price(patch):
    patch.setattr(shop.actions.ledger, "_refuse_above_the_price", lambda *given: None)


def what_has_ended_takes_money(patch):
    """As a change of state that does not ask which state it finds."""
    patch.setattr(shop.actions.ledger, "_refuse_if_ended", lambda *given: None)


def the_second_half_of_an_ending_is_lost(patch):
    """The hold ends, and what was to be given back is not: as two steps in two transactions would."""
    patch.setattr(shop.actions.promises, "refund", lambda **given: None)


def what_becomes_credit_is_entered_twice_over(patch):
    """As a form that was sent twice and not remembered."""
    enter = shop.actions.ledger.enter_credit

    def twice(person, promise, kind, amount, *more):
        return enter(person, promise, kind, amount * (2 if kind == CreditKind.FROM_PROMISE else 1), *more)

    patch.setattr(shop.actions.ledger, "enter_credit", twice)


def a_fee_is_taken_for_the_price(patch):
    enter = shop.actions.ledger.enter_payment
    patch.setattr(shop.actions.ledger, "enter_payment", lambda purpose="price", **given: enter(**given))


@pytest.mark.django_db
@pytest.mark.parametrize(
    "broken",
    [
        deductions_are_not_counted,
        a_refund_ignores_what_was_refunded,
        an_exchange_counts_it_all,
        nothing_is_brought_across,
        two_may_be_promised_one_instrument,
        a_statement_forgets_what_came_off_again,
        any_credit_is_enough,
        more_is_taken_than_the_price,
        what_has_ended_takes_money,
        the_second_half_of_an_ending_is_lost,
        what_becomes_credit_is_entered_twice_over,
        a_fee_is_taken_for_the_price,
    ],
)
def test_a_rule_that_is_broken_is_found(money_alone, monkeypatch, broken):
    broken(monkeypatch)
    with pytest.raises(AssertionError, match=f"seed {SEED}, after"):
        run(STEPS, SEED, shorten=False)
