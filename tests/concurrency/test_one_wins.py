"""Fifty people press at the same moment, on a shop served by several processes: exactly one gets it."""

from io import StringIO

from django.core.management import call_command
from django.urls import reverse

from instruments.models import NumberSeries, Submission
from shop.actions.ledger import credit_of, value_in
from shop.models import BookLine, CreditEntry, Paper, Payment, Promise, Sale, Trial, WaitingPlace
from shop.problems import WORDS_FOR_PROMISE
from shop.states import CreditKind, PromiseKind, TrialState
from tests import make
from tests.concurrency.callers import Answer, Caller, all_at_once, one_won
from tests.concurrency.races import CREDIT_MINOR, all_spend, all_want, somebody_with_credit

AT_ONCE = 50


def all_is_well(server) -> bool:
    """Nothing broke on the way, and what is kept is what was written."""
    told = StringIO()
    call_command("verify", stdout=told)
    return told.getvalue().startswith("All as it was written") and "Traceback" not in server.log.read_text()


def is_told(loser: Answer, promise: Promise) -> bool:
    """Who has it and until when, and how to wait for it."""
    number = promise.instrument.stock_number
    sentence = f"{number} is {WORDS_FOR_PROMISE[promise.kind]}{promise.ends_in_words}."
    way_on = f'href="{reverse("shop:waiting_join", args=[number])}'
    return f"{sentence} It is promised to {promise.person.name}." in loser.page and way_on in loser.page


def nothing_is_left_of_the_losers(promise: Promise, media_root) -> None:
    """The rows of what the winner did, none of what the others began, and no number used up in vain."""
    trials, sales = promise.kind == PromiseKind.TRIAL, promise.kind == PromiseKind.SALE
    assert promise.payments.count() == Payment.objects.count() == Promise.history.count() == 1
    assert Submission.objects.count() == 1
    assert Trial.objects.exclude(state=TrialState.DRAFT).count() == Paper.objects.count() == trials
    assert Sale.objects.count() == BookLine.objects.count() == sales
    assert sum(NumberSeries.objects.filter(series="sale").values_list("last", flat=True)) == sales
    assert len([each for each in media_root.glob("papers/*") if each.is_file()]) == trials


def the_next_one_waits(filled, promise: Promise) -> None:
    """By the way that the page offers, for whoever was chosen on it."""
    instrument, person = promise.instrument, filled.fields["person"][0]
    address = reverse("shop:waiting_join", args=[instrument.stock_number]) + f"?person={person}"
    assert filled.caller.filled_in(address).press().location == instrument.get_absolute_url()
    assert str(WaitingPlace.objects.get(instrument=instrument).person_id) == person


def test_of_fifty_who_want_one_instrument_one_gets_it_and_the_others_are_told(
    callers, server, technician, media_root
):
    instrument = make.make_instrument()
    forms = all_want(instrument, callers(AT_ONCE))
    answers = all_at_once(forms)
    _, losers = one_won(answers)
    promise = Promise.objects.get()
    assert [loser for loser in losers if not is_told(loser, promise)] == []
    nothing_is_left_of_the_losers(promise, media_root)
    late = next(form for form, answer in zip(forms, answers, strict=True) if is_late(form, answer))
    the_next_one_waits(late, promise)
    seen_at_the_bench = Caller(server.port, technician).get(instrument.get_absolute_url()).page
    assert f"{promise.get_kind_display()}{promise.ends_in_words}." in seen_at_the_bench
    assert "Caller" not in seen_at_the_bench
    assert all_is_well(server)


def is_late(form, answer: Answer) -> bool:
    return answer.status == 200 and "person" in form.fields


def test_of_fifty_who_spend_one_credit_one_does(callers, server):
    person = somebody_with_credit()
    _, losers = one_won(all_at_once(all_spend(person, callers(AT_ONCE))))
    spent = CreditEntry.objects.get(kind=CreditKind.TO_PROMISE)
    assert credit_of(person) == 0
    assert value_in(spent.promise) == -spent.amount_minor == CREDIT_MINOR
    assert [loser for loser in losers if "has less in credit than that" not in loser.page] == []
    assert Submission.objects.count() == 1
    assert all_is_well(server)
