"""The two races of the shop: for one instrument, and for one credit. What is sent, and by how many."""

from datetime import timedelta

from django.urls import reverse
from django.utils import timezone

from shop.actions.sales import sell
from shop.actions.trials import return_trial
from tests import make
from tests.concurrency.callers import Caller, Filled, each

PRICE = "1800.00"
CREDIT = "300.00"
CREDIT_MINOR = 30_000


def hold_filled_in(caller: Caller, instrument, person) -> Filled:
    """With a deposit, so that money moves with it."""
    until = (timezone.localdate() + timedelta(days=14)).isoformat()
    address = reverse("shop:hold_place", args=[instrument.stock_number])
    return caller.filled_in(address, person=str(person.pk), until=until, deposit_minor="50.00", method="card")


def sale_filled_in(caller: Caller, instrument, person) -> Filled:
    address = reverse("shop:sale_record", args=[instrument.stock_number])
    money = {"price_minor": PRICE, "pay_now_minor": "500.00", "method": "transfer"}
    return caller.filled_in(address, person=str(person.pk), **money)


def trial_filled_in(caller: Caller, trial) -> Filled:
    return caller.filled_in(reverse("shop:trial_start", args=[trial.number]), method="card")


def all_want(instrument, callers: list[Caller]) -> list[Filled]:
    """Somebody new for every caller: in turn a hold, a trial drafted before, and a sale."""
    today = timezone.localdate()
    forms = []
    for n, caller in enumerate(callers):
        person = make.make_person(name=f"Caller {n:02}")
        if n % 3 == 1:
            trial = make.make_trial(instrument=instrument, person=person, on=today)
            forms.append(lambda caller=caller, trial=trial: trial_filled_in(caller, trial))
        else:
            fill = hold_filled_in if n % 3 == 0 else sale_filled_in
            forms.append(lambda fill=fill, caller=caller, person=person: fill(caller, instrument, person))
    return each(forms)


def all_want_the_next(instrument, before: list[Filled]) -> list[Filled]:
    """From the pages that `all_want` opened; a trial is drafted anew, since each starts once."""
    today, forms = timezone.localdate(), []
    for n, filled in enumerate(before):
        if n % 3 == 1:
            person = make.make_person(name=f"Caller {n:02}")
            trial = make.make_trial(instrument=instrument, person=person, on=today)
            address = reverse("shop:trial_start", args=[trial.number])
        else:
            page = "shop:hold_place" if n % 3 == 0 else "shop:sale_record"
            address = reverse(page, args=[instrument.stock_number])
        forms.append(filled.again(address))
    return forms


def somebody_with_credit():
    """Whose trial came back: what was paid is all their credit."""
    person = make.make_person()
    credit_once_more(person)
    return person


def credit_once_more(person) -> None:
    by, today = make.somebody(), timezone.localdate()
    trial = make.make_running_trial(person=person, pay_now_minor=CREDIT_MINOR, on=today)
    return_trial(trial=trial, give_back="credit", by=by, on=today)


def all_spend(person, callers: list[Caller], *, price_minor: int = 180_000) -> list[Filled]:
    """The whole of one credit, toward as many sales to one person as there are callers."""
    by, today = make.somebody(), timezone.localdate()
    sales = [
        sell(instrument=make.make_instrument(), person=person, price_minor=price_minor, by=by, on=today)
        for _ in callers
    ]
    address = [reverse("shop:credit_spend", args=[sale.promise_id]) for sale in sales]
    return each(
        [
            lambda caller=caller, at=at: caller.filled_in(at, amount_minor=CREDIT)
            for caller, at in zip(callers, address, strict=True)
        ]
    )


def payment_filled_in(caller: Caller, promise) -> Filled:
    address = reverse("shop:payment_take", args=[promise.pk])
    return caller.filled_in(address, amount_minor="100.00", method="card")
