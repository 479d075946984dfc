"""Dealings in any order, right and wrong, on the real models; after each step every sum is what it must be.

    WRESTPLANK_MONEY_STEPS=1000000 python -m pytest -n 0 -s tests/shop/test_money_machine.py

runs as many steps as the variable says, and prints how many it took and how long. What is conserved is
said at the top of shop/models/ledger.py; the oracle here sums the rows again, apart from the actions that
wrote them.
"""

import os
from collections import Counter
from contextlib import contextmanager
from datetime import timedelta
from functools import partial
from time import monotonic

import pytest
from django.db import connection, transaction
from hypothesis import HealthCheck, Phase, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from instruments.problems import Refused
from shop.actions.ledger import (
    credit_of,
    pay_out_credit,
    refund,
    take_for_delivery,
    take_payment,
    use_credit,
    value_in,
)
from shop.actions.promises import place_hold, release_hold
from shop.actions.sale_endings import cancel_sale, take_back_sale
from shop.actions.sales import sell
from shop.actions.trials import draft_trial, exchange_trial, keep_trial, return_trial, start_trial
from shop.models import Promise
from shop.statements import statement_of
from shop.states import PromiseKind
from tests import make

STEPS = int(os.environ.get("WRESTPLANK_MONEY_STEPS", "2000"))
STEPS_IN_A_RUN = 50
picks = st.integers(0, 11)
amounts = st.sampled_from([1, 333, 5_000, 10_000, 99_999, 100_000, 180_000])
done = Counter()
PAID = "SELECT promise_id, SUM(amount_minor) FROM shop_payment WHERE purpose = 'price' GROUP BY 1"


@contextmanager
def refused_is_an_answer():
    """A refusal changes nothing: the act's own transaction is gone whole, or the sums below will tell."""
    try:
        yield
    except Refused:
        done["refused"] += 1


def rows_of(cursor, sql: str) -> list[tuple]:
    cursor.execute(sql)
    return cursor.fetchall()


def statement_equals_the_ledger(statement):
    person = statement.person
    assert statement.credit_minor == credit_of(person)
    expected = credit_of(person)
    for word in statement.open_words:
        price, held = word.promise.price_minor, value_in(word.promise)
        assert word.held_minor == held
        assert word.to_pay_minor == (None if price is None else price - held)
        expected += held - (price if word.promise.kind == PromiseKind.SALE else 0)
    running = statement.brought_forward_minor
    for step in statement.steps:
        running += step.sum_minor
        assert step.after_minor == running
    assert running == statement.balance_minor == expected


class Dealings(RuleBasedStateMachine):
    world = None

    def __init__(self):
        super().__init__()
        self.example = transaction.atomic()
        self.example.__enter__()
        self.by, self.people, self.instruments = self.world
        self.holds, self.trials, self.sales = [], [], []
        self.deducted = 0
        self.on = make.A_DAY

    def teardown(self):
        for person in self.people:
            statement_equals_the_ledger(statement_of(person))
        transaction.set_rollback(True)
        self.example.__exit__(None, None, None)

    def one(self, things, pick):
        return things[pick % len(things)]

    @property
    def promises(self):
        return [
            *self.holds,
            *(t.promise for t in self.trials if t.promise_id),
            *(s.promise for s in self.sales),
        ]

    @property
    def act(self):
        done["steps"] += 1
        return {"by": self.by, "on": self.on}

    @rule(who=picks, what=picks, deposit=st.sampled_from([0, 5_000, 10_000]))
    def hold(self, who, what, deposit):
        with refused_is_an_answer():
            self.holds.append(
                place_hold(
                    person=self.one(self.people, who),
                    instrument=self.one(self.instruments, what),
                    until=self.on + timedelta(days=14),
                    deposit_minor=deposit,
                    method="card",
                    **self.act,
                )
            )

    @precondition(lambda self: self.holds)
    @rule(which=picks)
    def let_a_hold_go(self, which):
        with refused_is_an_answer():
            release_hold(promise=self.one(self.holds, which), **self.act)

    @rule(who=picks, what=picks, paid=amounts, share=st.sampled_from([0, 33, 80, 100]))
    def draft(self, who, what, paid, share):
        self.trials.append(
            draft_trial(
                person=self.one(self.people, who),
                instrument=self.one(self.instruments, what),
                price_minor=180_000,
                pay_now_minor=paid,
                delivery_minor=9_000 if share == 80 else 0,
                credit_percent=share,
                starts_on=self.on,
                ends_on=self.on + timedelta(days=42),
                address="4 Salt Lane",
                **self.act,
            )
        )

    @precondition(lambda self: self.trials)
    @rule(which=picks)
    def start(self, which):
        place = which % len(self.trials)
        with refused_is_an_answer():
            self.trials[place] = start_trial(trial=self.trials[place], method="transfer", **self.act)

    @precondition(lambda self: self.trials)
    @rule(which=picks)
    def keep(self, which):
        with refused_is_an_answer():
            self.sales.append(keep_trial(trial=self.one(self.trials, which), **self.act))

    @precondition(lambda self: self.trials)
    @rule(which=picks, what=picks, price=amounts)
    def exchange(self, which, what, price):
        trial = self.one(self.trials, which)
        held = value_in(trial.promise) if trial.promise_id else 0
        with refused_is_an_answer():
            sale = exchange_trial(
                trial=trial, other=self.one(self.instruments, what), other_price_minor=price, **self.act
            )
            self.sales.append(sale)
            self.deducted += held - (held * trial.credit_percent + 50) // 100

    @precondition(lambda self: self.trials)
    @rule(
        which=picks,
        deducted=st.sampled_from([0, 0, 1, 5_000, 200_000]),
        back=st.sampled_from(["refund", "credit"]),
    )
    def give_a_trial_back(self, which, deducted, back):
        with refused_is_an_answer():
            return_trial(
                trial=self.one(self.trials, which),
                deduction_minor=deducted,
                give_back=back,
                method="transfer",
                note="A chipped key, agreed",
                **self.act,
            )
            self.deducted += deducted

    @rule(who=picks, what=picks, price=amounts, paid=amounts, credit=st.sampled_from([0, 333, 10_000]))
    def sell(self, who, what, price, paid, credit):
        with refused_is_an_answer():
            self.sales.append(
                sell(
                    person=self.one(self.people, who),
                    instrument=self.one(self.instruments, what),
                    price_minor=price,
                    pay_now_minor=paid if paid <= price else 0,
                    credit_minor=credit,
                    method="card",
                    **self.act,
                )
            )

    @precondition(lambda self: self.sales)
    @rule(
        which=picks,
        end=st.sampled_from([cancel_sale, take_back_sale]),
        back=st.sampled_from(["refund", "credit"]),
    )
    def end_a_sale(self, which, end, back):
        with refused_is_an_answer():
            end(
                sale=self.one(self.sales, which),
                reason="Does not fit",
                give_back=back,
                method="cash",
                **self.act,
            )

    @precondition(lambda self: self.promises)
    @rule(which=picks, amount=amounts)
    def pay(self, which, amount):
        with refused_is_an_answer():
            take_payment(
                promise=self.one(self.promises, which), amount_minor=amount, method="cash", **self.act
            )

    @precondition(lambda self: self.promises)
    @rule(which=picks)
    def pay_for_delivery(self, which):
        with refused_is_an_answer():
            take_for_delivery(
                promise=self.one(self.promises, which), amount_minor=777, method="card", **self.act
            )

    @precondition(lambda self: self.promises)
    @rule(which=picks, amount=amounts)
    def refund(self, which, amount):
        promise = self.one(self.promises, which)
        with refused_is_an_answer():
            was_open = Promise.objects.open().filter(pk=promise.pk).exists()
            refund(promise=promise, amount_minor=amount, method="cash", **self.act)
            if not was_open:
                self.deducted -= amount

    @precondition(lambda self: self.promises)
    @rule(which=picks, amount=amounts)
    def use_credit(self, which, amount):
        with refused_is_an_answer():
            use_credit(promise=self.one(self.promises, which), amount_minor=amount, note="", **self.act)

    @rule(who=picks, amount=amounts)
    def pay_credit_out(self, who, amount):
        with refused_is_an_answer():
            pay_out_credit(
                person=self.one(self.people, who), amount_minor=amount, method="transfer", **self.act
            )

    @invariant()
    def every_sum_is_what_it_must_be(self):
        with connection.cursor() as cursor:  # plain SQL, since this runs after every step
            ask = partial(rows_of, cursor)
            paid = dict(ask(PAID))
            left = dict(ask("SELECT promise_id, SUM(amount_minor) FROM shop_creditentry GROUP BY 1"))
            credits = dict(ask("SELECT person_id, SUM(amount_minor) FROM shop_creditentry GROUP BY 1"))
            promises = ask("SELECT id, closed_at, kind, price_minor, instrument_id FROM shop_promise")
        held = {pk: paid.get(pk, 0) - left.get(pk, 0) for pk in {*paid, *left}}
        assert all(credit >= 0 for credit in credits.values()), "credit is never negative"
        assert all(value >= 0 for value in held.values()), "no promise holds less than nothing"
        open_ones = [row for row in promises if row[1] is None]
        assert all(held.get(row[0], 0) <= row[3] for row in open_ones if row[3] is not None)
        promised = [row[4] for row in open_ones]
        assert len(promised) == len(set(promised)), "one open promise for one instrument"
        in_open = sum(held.get(row[0], 0) for row in open_ones)
        assert sum(paid.values()) == in_open + sum(credits.values()) + self.deducted


@pytest.mark.django_db
def test_no_order_of_dealings_loses_or_makes_money():
    by = make.somebody()
    people = [make.make_person(name=name) for name in ("Ada Wren", "Bo Marsh", "Cy Hale")]
    Dealings.world = by, people, [make.make_instrument(by=by) for _ in range(4)]
    how = settings(
        max_examples=max(20, STEPS // STEPS_IN_A_RUN // 4),
        stateful_step_count=STEPS_IN_A_RUN,
        deadline=None,
        database=None,
        phases=[Phase.generate, Phase.shrink],
        suppress_health_check=list(HealthCheck),
    )
    done.clear()
    began = monotonic()
    while done["steps"] < STEPS:
        run_state_machine_as_test(Dealings, settings=how)
    took = monotonic() - began
    print(f"{done['steps']} steps, {done['refused']} of them refused, in {took:.0f} s")
    assert 0 < done["refused"] < done["steps"]
