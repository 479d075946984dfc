"""The two races again and again: sixteen at once, as many rounds as WRESTPLANK_RACE_ROUNDS says.

The sixteen read their pages before the first round and leave them open: what is raced is the button. Who lost
is told so in every round, which shows that nothing but the race kept a form from being taken.
"""

import os

from shop.actions.ledger import credit_of
from shop.models import Promise
from tests import make
from tests.concurrency.callers import all_at_once, one_won
from tests.concurrency.races import (
    CREDIT_MINOR,
    all_spend,
    all_want,
    all_want_the_next,
    credit_once_more,
    somebody_with_credit,
)

ROUNDS = int(os.environ.get("WRESTPLANK_RACE_ROUNDS", "2"))
AT_ONCE = 16
# No sale is paid up before the last round, whichever wins.
PRICE_MINOR = CREDIT_MINOR * (ROUNDS + 1)


def test_every_round_promises_one_instrument_once(callers):
    instrument = make.make_instrument()
    forms = all_want(instrument, callers(AT_ONCE))
    for _ in range(ROUNDS):
        _, losers = one_won(all_at_once(forms))
        promise = Promise.objects.open().get(instrument=instrument)
        told = f"It is promised to {promise.person.name}."
        assert [loser for loser in losers if told not in loser.page] == []
        instrument = make.make_instrument()
        forms = all_want_the_next(instrument, forms)


def test_every_round_spends_one_credit_once(callers):
    person = somebody_with_credit()
    forms = all_spend(person, callers(AT_ONCE), price_minor=PRICE_MINOR)
    for _ in range(ROUNDS):
        _, losers = one_won(all_at_once(forms))
        assert credit_of(person) == 0
        assert [loser for loser in losers if "has less in credit than that" not in loser.page] == []
        credit_once_more(person)
        forms = [form.again(form.address) for form in forms]
