"""The two races again and again: sixteen at once, as many rounds as WRESTPLANK_RACE_ROUNDS says."""

import os

from shop.actions.ledger import credit_of
from shop.models import Promise
from tests import make
from tests.concurrency.callers import all_at_once, one_won
from tests.concurrency.races import all_spend, all_want, somebody_with_credit

ROUNDS = int(os.environ.get("WRESTPLANK_RACE_ROUNDS", "2"))
AT_ONCE = 16


def test_every_round_promises_one_instrument_once(callers):
    sixteen = callers(AT_ONCE)
    for _ in range(ROUNDS):
        instrument = make.make_instrument()
        one_won(all_at_once(all_want(instrument, sixteen)))
        assert Promise.objects.open().filter(instrument=instrument).count() == 1


def test_every_round_spends_one_credit_once(callers):
    sixteen = callers(AT_ONCE)
    for _ in range(ROUNDS):
        person = somebody_with_credit()
        one_won(all_at_once(all_spend(person, sixteen)))
        assert credit_of(person) == 0
