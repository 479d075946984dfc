"""The money machine goes red: each rule broken by hand, one at a time, is found in some hundred dealings."""

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
from tests.shop.test_money_machine import money_alone, run

STEPS = 600
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
        patch.setattr(module, "promise_problems", lambda *given, **named: [])


def a_statement_forgets_what_came_off_again(patch):
    patch.setattr(shop.statements, "_kept_in", lambda person: ({}, []))
    patch.setattr(shop.statements, "_deduction_words", lambda promise: "")
    patch.setattr(shop.statements, "held_in", lambda person: {})


def nothing_is_brought_across(patch):
    patch.setattr(shop.actions.trials, "use_credit", lambda **given: None)


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
    ],
)
def test_a_rule_that_is_broken_is_found(money_alone, monkeypatch, broken):
    broken(monkeypatch)
    with pytest.raises(AssertionError, match=f"seed {SEED}, after"):
        run(STEPS, SEED, shorten=False)
