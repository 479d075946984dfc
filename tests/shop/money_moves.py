"""What can be done with money and promises, each move with the arguments it may be given, right and wrong.

A move that a rule refuses changes nothing. Beside each ending stands what it must come to, reckoned here with
its own arithmetic; the sums over all rows are in tests/shop/money_oracle.py.
"""

from calendar import monthrange
from collections import Counter
from contextlib import contextmanager
from datetime import date, timedelta

from instruments.models.worded import ASKED, of_one
from instruments.problems import Refused
from shop.actions.buying import buy
from shop.actions.credit_days import expire_credit
from shop.actions.deductions import Agreed, agree_deduction, take_back_deduction
from shop.actions.holds import give_back_later
from shop.actions.joining import join_cards, part_cards
from shop.actions.ledger import (
    credit_of,
    pay_out_credit,
    refund,
    still_to_pay,
    take_fee,
    take_payment,
    use_credit,
    value_in,
)
from shop.actions.payment_plans import agree_plan
from shop.actions.promises import place_hold, release_hold
from shop.actions.sale_endings import cancel_sale, take_back_sale
from shop.actions.sales import sell
from shop.actions.trial_extensions import extend_trial
from shop.actions.trial_settling import credit_for
from shop.actions.trials import draft_trial, exchange_trial, keep_trial, return_trial, start_trial
from shop.calc.credit_terms import CreditRule
from shop.endings import exchange_lines, return_lines
from shop.models import Deduction, Payment, Person, Promise, Sale, Trial
from tests import make

PICKS = tuple(range(12))
AMOUNTS = (1, 333, 5_000, 10_000, 99_999, 100_000, 180_000)
FALLING = ((0, 100), (1, 80), (2, 33))
RULES = (
    CreditRule(),
    CreditRule(scale=((0, 33),)),
    CreditRule(scale=FALLING, fees_that_count=("delivery",)),
    CreditRule(scale=FALLING, only_dearer=True, expires_after_months=1),
    CreditRule(scale=((0, 0),), fees_that_count=("delivery", "tuning", "hire")),
    CreditRule(fees_that_count=("tuning", "hire"), expires_after_months=2),
)
# Each as it is fetched before every dealing, with what stands beside it; put into words once.
BY_KEY = {
    Promise: of_one(lambda: Promise.objects.select_related("instrument", "person").filter(pk=ASKED)),
    Trial: of_one(lambda: Trial.objects.select_related(*BESIDE_A_TRIAL).filter(pk=ASKED)),
    Sale: of_one(lambda: Sale.objects.select_related("instrument", "person", "promise").filter(pk=ASKED)),
}
BESIDE_A_TRIAL = ("instrument", "person", "promise", "credit_terms", "exchanged_from")
MOVES: dict[str, tuple[dict, str]] = {}
LOTS: list[str] = []  # each move as often as it is to be drawn


def move(needs: str = "", often: int = 2, **given):
    """Register a method as a move: its arguments with what may be drawn for each, and what must be there."""

    def registered(method):
        MOVES[method.__name__] = given, needs
        LOTS.extend([method.__name__] * often)
        return method

    return registered


class Dealings:
    """One stretch of dealings among a few people and pianos; `on` is its clock."""

    def __init__(self, world, done: Counter):
        self.by, self.people, instruments = world
        self.instruments = list(instruments)
        for instrument in self.instruments:
            instrument.price_now = 180_000  # as a list of instruments to offer has it
        self.done, self.on = done, make.A_DAY
        self.holds, self.trials, self.sales = [], [], []
        self.drafts, self.out, self.started = [], [], []

    @contextmanager
    def refused_is_an_answer(self):
        try:
            yield
        except Refused:
            self.done["refused"] += 1

    def one(self, things, pick):
        """Of three picks in four one of the newest, where there is most to do. By its key, as a page would
        fetch it: what an earlier act left in memory is no witness.
        """
        thing = things[-1 - pick % min(3, len(things))] if pick < 9 else things[pick % len(things)]
        return BY_KEY[type(thing)](thing.pk).alone().first()

    def a_trial(self, pick):
        """Three times in four one that is out; else any, which is mostly wrong."""
        return self.one(self.out if self.out and pick < 9 else self.trials, pick)

    def has_ended(self, trial):
        self.out = [each for each in self.out if each.pk != trial.pk]

    def of_cards(self, act):
        """After cards are joined or parted, everybody is as the database has them."""
        act()
        keys = [person.pk for person in self.people]
        people = Person.objects.in_bulk(keys)
        self.people = [people[key] for key in keys]

    def whom(self, pick):
        return self.people[pick % len(self.people)]

    def what(self, pick):
        return self.instruments[pick % len(self.instruments)]

    @property
    def anyone(self):
        """Somebody each stretch ends with, as its clock has it."""
        return self.people[self.on.toordinal() % len(self.people)]

    @property
    def promises(self):
        started = [trial.promise for trial in self.started]
        return [*self.holds, *started, *(sale.promise for sale in self.sales)]

    @property
    def act(self):
        return {"by": self.by, "on": self.on}

    @move(days=(1, 6, 27, 31))
    def let_time_pass(self, days):
        self.on += timedelta(days=days)

    @move(who=PICKS, what=PICKS, deposit=(0, 5_000, 10_000))
    def hold(self, who, what, deposit):
        given = {"deposit_minor": deposit, "method": "card", "until": self.on + timedelta(days=14)}
        person, instrument = self.whom(who), self.what(what)
        self.holds.append(place_hold(person=person, instrument=instrument, **given, **self.act))

    @move(needs="holds", which=PICKS, kept=(0, 0, 500, 5_000), back=("refund", "credit"))
    def let_a_hold_go(self, which, kept, back):
        given = {"kept_minor": kept, "kept_reason": "Key tops ordered", "told_how": "By letter"}
        promise = self.one(self.holds, which)
        release_hold(promise=promise, give_back=back, method="cash", **given, **self.act)

    @move(who=PICKS, what=PICKS, price=(100_000, 180_000), paid=AMOUNTS, rule=RULES)
    def draft(self, who, what, price, paid, rule, exchanged_from=None):
        trial = draft_trial(
            person=exchanged_from.person if exchanged_from else self.whom(who),
            instrument=self.what(what),
            price_minor=price,
            pay_now_minor=min(price, paid),
            delivery_minor=9_000 if "delivery" in rule.fees_that_count else 0,
            credit=rule,
            starts_on=self.on,
            ends_on=self.on + timedelta(days=60),
            address="4 Salt Lane",
            exchanged_from=exchanged_from,
            **self.act,
        )
        self.trials.append(trial)
        self.drafts.append(trial)

    @move(needs="trials", which=PICKS, what=PICKS, price=(100_000, 180_000), paid=AMOUNTS, rule=RULES)
    def draft_an_exchange(self, which, what, price, paid, rule):
        self.draft(0, what, price, paid, rule, exchanged_from=self.a_trial(which))

    @move(needs="trials", often=4, which=PICKS)
    def start(self, which):
        """One that follows another brings across what counts on that one; what is short is paid as money."""
        trial = self.one(self.drafts if self.drafts and which < 9 else self.trials, which)
        self.drafts = [each for each in self.drafts if each.pk != trial.pk]  # refused, it would be so again
        follows, before = trial.exchanged_from, credit_of(trial.person)
        counts = must_count(follows, self.on) if follows and follows.promise_id else 0
        started = start_trial(trial=trial, method="transfer", **self.act)
        self.out.append(started)
        self.started.append(started)
        if follows:
            self.has_ended(follows)
        assert value_in(started.promise) == trial.pay_now_minor
        across = min(before + counts, trial.pay_now_minor) if follows else 0
        assert credit_of(trial.person) == before + counts - across

    @move(needs="trials", often=1, which=PICKS, days=(3, 30))
    def extend(self, which, days):
        """More days change no sum, and not the share of any day."""
        trial = self.a_trial(which)
        until = trial.ends_on + timedelta(days=days)
        before = must_count(trial, self.on) if trial.promise_id else 0
        extend_trial(trial=trial, until=until, why="Her letter", agreed_on=self.on, **self.act)
        assert credit_for(self.one([trial], 0), on=self.on) == before

    @move(needs="trials", which=PICKS)
    def keep(self, which):
        trial = self.a_trial(which)
        held, fees = (must_hold(trial), fees_that_count(trial)) if trial.promise_id else (0, 0)
        sale = keep_trial(trial=trial, **self.act)
        self.has_ended(trial)
        assert value_in(sale.promise) == min(trial.price_minor, held + fees)
        self.sales.append(sale)

    @move(
        needs="trials", which=PICKS, what=PICKS, price=AMOUNTS, over=("credit", "refund"), named=("", "Loyal")
    )
    def exchange(self, which, what, price, over, named):
        trial, other = self.a_trial(which), self.what(what)
        before, counts, shown = credit_of(trial.person), 0, {}
        if trial.promise_id:
            counts = must_count(trial, self.on)
            lines = exchange_lines(trial, other, price, refunded=over == "refund", on=self.on)
            shown = {line.label: line.amount_minor for line in lines if line.is_sum}
        sale = exchange_trial(
            trial=trial, other=other, other_price_minor=price, left_over=over, method="cash", exception=named,
            **self.act,
        )  # fmt: skip
        self.sales.append(sale)
        self.has_ended(trial)
        used = min(before + counts, price)
        back = min(before + counts - used, counts) if over == "refund" else 0
        assert value_in(sale.promise) == used
        assert still_to_pay(sale.promise) == price - used == shown.get("Still to pay", 0)
        assert credit_of(trial.person) == before + counts - used - back == shown.get("Left in credit", 0)
        assert back == shown.get("Given back", 0)

    @move(
        needs="trials",
        which=PICKS,
        kind=("damage", "missing"),
        amount=(1, 1, 5_000, 200_000),
        how=("signed", "signed", ""),
    )
    def deduct(self, which, kind, amount, how):
        line = Agreed(kind, "A chipped key", amount, how, self.on)
        agree_deduction(trial=self.a_trial(which), line=line, **self.act)

    @move(often=1, which=PICKS)
    def take_a_deduction_back(self, which):
        lines = list(Deduction.objects.standing().filter(promise__person__in=self.people))
        if lines:
            take_back_deduction(deduction=lines[which % len(lines)], why="It was there before", **self.act)

    @move(needs="trials", which=PICKS, deducted=(0, 0, 1, 5_000, 200_000), back=("refund", "credit"))
    def give_a_trial_back(self, which, deducted, back):
        trial = self.a_trial(which)
        before, held, agreed, shown = credit_of(trial.person), 0, 0, []
        line = Agreed("damage", "A scratch", deducted, "spoken", self.on) if deducted else None
        if trial.promise_id:
            shown = return_lines(trial, deducted, back, on=self.on)
            held, agreed = (
                must_hold(trial),
                sum(trial.promise.deductions.values_list("amount_minor", flat=True)),
            )
        return_trial(trial=trial, deduction=line, give_back=back, method="transfer", **self.act)
        self.has_ended(trial)
        rest = held - agreed - deducted
        assert shown[-1].amount_minor == rest
        assert value_in(trial.promise) == agreed + deducted, "what was agreed to be kept is kept"
        assert credit_of(trial.person) - before == (rest if back == "credit" else 0)

    @move(who=PICKS, what=PICKS, price=AMOUNTS, paid=AMOUNTS, credit=(0, 0, 0, 333))
    def sell(self, who, what, price, paid, credit):
        """To whoever holds it the hold becomes the sale, and its deposit credit."""
        sale = sell(
            person=self.whom(who),
            instrument=self.what(what),
            price_minor=price,
            pay_now_minor=paid if paid <= price else 0,
            credit_minor=credit,
            method="card",
            **self.act,
        )
        self.sales.append(sale)

    @move(needs="holds", which=PICKS, price=AMOUNTS, credit=(0, 5_000))
    def sell_what_is_held(self, which, price, credit):
        promise = self.one(self.holds, which)
        given = {"price_minor": price, "credit_minor": credit}
        self.sales.append(sell(person=promise.person, instrument=promise.instrument, **given, **self.act))

    @move(needs="sales", often=1, which=PICKS, allowed=AMOUNTS)
    def part_exchange(self, which, allowed):
        sale = self.one(self.sales, which)
        identity = {"kind": "upright", "maker": "Castlemere", "natural_covering": "celluloid"}
        bought = buy(
            identity=identity | {"sharp_covering": "stained", "key_count": 85},
            seller=sale.person, route="part_exchange", price_minor=allowed, bought_on=self.on, sale=sale,
            **self.act,
        )  # fmt: skip
        bought.instrument.price_now = None
        self.instruments.append(bought.instrument)

    @move(
        needs="sales",
        which=PICKS,
        end=(cancel_sale, take_back_sale),
        back=("refund", "credit"),
        keep=(True, False),
    )
    def end_a_sale(self, which, end, back, keep):
        end(
            sale=self.one(self.sales, which),
            reason="Does not fit",
            give_back=back,
            method="cash",
            keep_part_exchange=keep,
            customer_agreed=keep,
            **self.act,
        )

    @move(needs="promises", which=PICKS, amount=AMOUNTS)
    def pay(self, which, amount):
        take_payment(promise=self.one(self.promises, which), amount_minor=amount, method="cash", **self.act)

    @move(needs="promises", which=PICKS, purpose=("delivery", "tuning", "hire"), amount=(777, 6_001))
    def pay_a_fee(self, which, purpose, amount):
        promise = self.one(self.promises, which)
        take_fee(promise=promise, purpose=purpose, amount_minor=amount, method="card", **self.act)

    @move(needs="promises", often=1, which=PICKS, amount=AMOUNTS)
    def refund(self, which, amount):
        """Out of what is open, or later out of what was kept at an end."""
        promise = self.one(self.promises, which)
        is_open = Promise.objects.open().filter(pk=promise.pk).exists()
        act, more = (refund, {}) if is_open else (give_back_later, {"reason": "It was there before"})
        act(promise=promise, amount_minor=amount, method="cash", **more, **self.act)

    @move(needs="promises", which=PICKS, amount=AMOUNTS)
    def use_credit(self, which, amount):
        use_credit(promise=self.one(self.promises, which), amount_minor=amount, note="", **self.act)

    @move(often=1, who=PICKS, amount=AMOUNTS)
    def pay_credit_out(self, who, amount):
        pay_out_credit(person=self.whom(who), amount_minor=amount, method="transfer", **self.act)

    @move(often=1, who=PICKS, into=PICKS)
    def join(self, who, into):
        """Two cards of one person: what was whole on each stands together."""
        double, card = self.whom(who), self.whom(into)
        both = credit_of(double) + credit_of(card)
        named = {"facts": {}, "reason": "She told us", **self.act}
        self.of_cards(lambda: join_cards(double=double, into=card, **named))
        assert credit_of(self.whom(who)) == credit_of(self.whom(into)) == both

    @move(often=1, who=PICKS)
    def part(self, who):
        double = self.whom(who)
        both, stood = credit_of(double), Person.objects.get(pk=double.standing_id)
        self.of_cards(lambda: part_cards(double=double, reason="A sister", by=self.by))
        assert credit_of(self.whom(who)) + credit_of(stood) == both

    @move(needs="sales", often=1, which=PICKS, first=AMOUNTS)
    def agree_stages(self, which, first):
        """In which stages a sale is paid moves no sum."""
        sale = self.one(self.sales, which)
        held, price = value_in(sale.promise), sale.promise.price_minor
        stages = [("First", min(first, price)), ("Balance", max(0, price - first))]
        agree_plan(
            sale=sale,
            stages=[
                {"words": words, "amount_minor": amount, "due_on": self.on}
                for words, amount in stages
                if amount
            ],
            agreed_on=self.on,
            written="Her letter",
            why="Her letter",
            **self.act,
        )
        assert value_in(sale.promise) == held

    @move(who=PICKS)
    def take_off_what_ran_out(self, who):
        person = self.whom(who)
        before = credit_of(person)
        taken = expire_credit(person=person, told="Letter of May", **self.act)
        assert credit_of(person) == before - taken


def must_count(trial: Trial, on: date) -> int:
    """The share of the day, half a penny up, less the lines agreed: in whole hundredths of a minor unit."""
    hundredths = share_of_the_day(trial, on) * (must_hold(trial) + fees_that_count(trial))
    return max(
        0, (hundredths + 50) // 100 - sum(trial.promise.deductions.values_list("amount_minor", flat=True))
    )


def share_of_the_day(trial: Trial, on: date) -> int:
    """Step by step through the calendar, month by month."""
    day, months = trial.starts_on, 0
    while True:
        year, month = divmod(trial.starts_on.month + months, 12)
        year += trial.starts_on.year
        day = date(year, month + 1, min(trial.starts_on.day, monthrange(year, month + 1)[1]))
        if day > on:
            break
        months += 1
    return dict(trial.credit_terms.scale)[
        max(start for start, _ in trial.credit_terms.scale if start <= months)
    ]


def must_hold(trial: Trial) -> int:
    paid = trial.promise.payments.filter(purpose="price").values_list("amount_minor", flat=True)
    return sum(paid) - sum(trial.promise.credit_entries.values_list("amount_minor", flat=True))


def fees_that_count(trial: Trial) -> int:
    counting = [
        name for name in ("delivery", "tuning", "hire") if getattr(trial.credit_terms, f"{name}_counts")
    ]
    rows = Payment.objects.filter(promise=trial.promise, purpose__in=counting)
    return sum(rows.values_list("amount_minor", flat=True))
