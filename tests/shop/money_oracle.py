"""Every sum over the rows, reckoned again apart from the actions that wrote them; and every printed figure.

    all money in = given back + held in open holds, trials and sales + credit + kept line by line
                   + credit run out + fees

where a sale, paid or not, stays open until it is undone.
"""

from collections import defaultdict

from django.db import connection

from shop.actions.credit_days import lots_of
from shop.actions.ledger import credit_of, value_in
from shop.actions.settled import is_settled
from shop.models import Promise, Sale
from shop.payment_plans import plans_of
from shop.statements import account_of, statement_of
from shop.states import PromiseKind
from tests import make

PAYMENTS = "SELECT promise_id, purpose, method, amount_minor FROM shop_payment WHERE promise_id IS NOT NULL"
ENTRIES = "SELECT promise_id, person_id, kind, amount_minor FROM shop_creditentry"
# Of a trial what was kept stands line by line; of a hold and of a sale with its ending, less what was given
# back of it later.
LINES = """
    SELECT promise_id, SUM(amount) FROM (
        SELECT promise_id, amount_minor AS amount FROM shop_deduction
        UNION ALL SELECT promise_id, kept_minor FROM shop_holdending
        UNION ALL SELECT sale.promise_id, ending.deduction_minor
            FROM shop_saleending ending JOIN shop_sale sale ON sale.id = ending.sale_id
        UNION ALL SELECT paid.promise_id, paid.amount_minor
            FROM shop_givenbacklater later JOIN shop_payment paid ON paid.id = later.payment_id
            JOIN shop_promise promise ON promise.id = paid.promise_id WHERE promise.kind <> 'trial'
    ) AS kept GROUP BY 1"""
# Cards joined with another are spoken for by that one.
CARDS = "SELECT id, COALESCE(merged_into_id, id) FROM shop_person"
PROMISES = "SELECT id, closed_at, price_minor, instrument_id FROM shop_promise"
FEES = "SELECT SUM(gross_minor) FROM shop_bookline WHERE kind = 'fee'"


def every_sum_is_what_it_must_be() -> None:
    with connection.cursor() as cursor:

        def ask(sql):
            cursor.execute(sql)
            return cursor.fetchall()

        payments, entries, promises = ask(PAYMENTS), ask(ENTRIES), ask(PROMISES)
        lines, cards, [(booked,)] = dict(ask(LINES)), dict(ask(CARDS)), ask(FEES)
    held, credits, ran_out = defaultdict(int), defaultdict(int), defaultdict(int)
    money_in = given_back = fees = counted = 0
    for promise, purpose, method, amount in payments:
        if purpose == "price":
            held[promise] += amount
        else:
            fees += amount
        if method == "counts":
            counted += amount
        elif amount > 0:
            money_in += amount
        else:
            given_back -= amount
    for promise, person, kind, amount in entries:
        held[promise] -= amount
        credits[cards[person]] += amount
        if kind == "expired":
            ran_out[promise] -= amount
    assert counted == 0, "a fee that counts moves no coin"
    assert fees == (booked or 0), "what is a fee still stands in the books, and nothing else"
    assert all(credit >= 0 for credit in credits.values()), "nobody has less than nothing in credit"
    assert all(value >= 0 for value in held.values()), "no promise holds less than nothing"
    in_open, kept_for_good, promised = 0, 0, set()
    for promise, closed_at, price, instrument in promises:
        kept = lines.get(promise, 0) + ran_out[promise]
        if closed_at is not None:
            assert held[promise] == kept, "what an ended promise holds stands line by line"
            kept_for_good += kept
            continue
        in_open += held[promise]
        assert kept <= held[promise], "no more is deducted than was paid"
        assert price is None or held[promise] <= price, "nobody pays more than the price"
        assert instrument not in promised, "one open promise for one instrument"
        promised.add(instrument)
    assert money_in == given_back + in_open + sum(credits.values()) + kept_for_good + fees


def statement_equals_the_ledger(statement) -> None:
    """The column adds up, and ends at credit and what is held, less what sales still want."""
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


def every_printed_figure_is_the_ledgers(people) -> None:
    for person in people:
        statement_equals_the_ledger(statement_of(person))
        account = account_of(person)
        assert (account[-1].credit_after_minor if account else 0) == credit_of(person)
        lots = lots_of(person)
        assert sum(lot.amount_minor for lot in lots) == credit_of(person)
        assert all(lot.amount_minor > 0 for lot in lots)
    stages_share_out_what_is_paid(people)
    what_is_settled_is_noted()


def what_is_settled_is_noted() -> None:
    for promise in Promise.objects.filter(kind=PromiseKind.SALE):
        assert promise.is_settled == is_settled(promise), promise


def stages_share_out_what_is_paid(people) -> None:
    """What is open of each stage adds up to what is still to pay, and none holds more than its sum."""
    sales = {sale.pk: sale for sale in Sale.objects.filter(person__in=people, promise__closed_at=None)}
    for key, plan in plans_of(sales.values(), on=make.A_DAY).items():
        promise = sales[key].promise
        stages = [(row.stage.amount_minor, row.stands.open_minor) for row in plan.rows]
        assert sum(amount for amount, _ in stages) == promise.price_minor
        assert sum(left for _, left in stages) == promise.price_minor - value_in(promise)
        assert all(0 <= left <= amount for amount, left in stages)
