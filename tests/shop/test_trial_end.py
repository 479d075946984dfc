import pytest

from instruments.problems import Blocked, Refused
from shop.actions.deductions import Agreed
from shop.actions.ledger import NotEnough, credit_of, still_to_pay, value_in
from shop.actions.promises import AlreadyClosed
from shop.actions.trials import exchange_trial, keep_trial, return_trial
from shop.models import CreditEntry, Payment
from tests import make

pytestmark = pytest.mark.django_db


def sums(model) -> int:
    return sum(model.objects.values_list("amount_minor", flat=True))


def keep(trial):
    return keep_trial(trial=trial, by=make.somebody(), on=make.A_DAY)


def exchange(trial, price_minor, other=None):
    return exchange_trial(
        trial=trial,
        other=other or make.make_instrument(maker="Castlemere"),
        other_price_minor=price_minor,
        by=make.somebody(),
        on=make.A_DAY,
    )


def give_back(trial, **ending):
    ending = {"give_back": "refund", "method": "transfer", "note": "A scratch"} | ending
    deducted, note = ending.pop("deduction_minor", 0), ending["note"]
    deduction = Agreed("damage", note, deducted, "signed", make.A_DAY) if deducted else None
    return return_trial(trial=trial, deduction=deduction, by=make.somebody(), on=make.A_DAY, **ending)


def test_trial_keep_moves_what_was_paid_to_the_sale():
    sale = keep(make.make_running_trial(pay_now_minor=50_000))
    assert (value_in(sale.promise), still_to_pay(sale.promise)) == (50_000, 130_000)
    assert sale.instrument == sale.from_trial.instrument


def test_trial_keep_leaves_the_instrument_promised_to_the_same_person():
    sale = keep(make.make_running_trial())
    assert [promise.kind for promise in sale.instrument.promises.open()] == ["sale"]


def test_trial_exchange_for_a_dearer_one_says_what_is_still_to_pay():
    sale = exchange(make.make_running_trial(), 240_000)
    assert still_to_pay(sale.promise) == 60_000
    assert credit_of(sale.person) == 0


def test_trial_exchange_for_a_cheaper_one_leaves_the_rest_in_credit():
    sale = exchange(make.make_running_trial(), 120_000)
    assert still_to_pay(sale.promise) == 0
    assert credit_of(sale.person) == 60_000


def test_trial_exchange_counts_only_the_agreed_share():
    trial = make.make_running_trial(credit_percent=90, pay_now_minor=100_005)
    sale = exchange(trial, 240_000)
    # 90 % of 1,000.05 is 900.045, half up 900.05; the other 100.00 stays in the ended trial
    assert value_in(sale.promise) == 90_005
    assert value_in(trial.promise) == 10_000


def test_trial_exchange_frees_the_first_and_promises_the_second():
    trial = make.make_running_trial()
    sale = exchange(trial, 200_000)
    assert not trial.instrument.promises.open().exists()
    assert sale.instrument.promises.open().get().person == trial.person


def test_trial_exchange_brings_the_first_back_to_the_workshop():
    trial = make.make_running_trial()
    exchange(trial, 200_000)
    trial.instrument.refresh_from_db()
    assert trial.instrument.place == "workshop"


def test_trial_exchange_refuses_what_is_promised_and_changes_nothing():
    trial, other = make.make_running_trial(), make.make_running_trial(person=make.make_person(name="Nell"))
    with pytest.raises(Blocked, match="promised to Nell"):
        exchange(trial, 200_000, other=other.instrument)
    trial.refresh_from_db()
    assert (trial.state, value_in(trial.promise)) == ("out", 180_000)


def test_trial_exchange_refuses_the_same_instrument():
    trial = make.make_running_trial()
    with pytest.raises(NotEnough, match="another instrument"):
        exchange(trial, 200_000, other=trial.instrument)


def test_trial_return_refunds_what_was_paid_less_the_deduction():
    trial = give_back(make.make_running_trial(), deduction_minor=2_500)
    assert sums(Payment) == 2_500 == value_in(trial.promise)


def test_trial_return_can_leave_the_money_in_credit():
    trial = give_back(make.make_running_trial(), give_back="credit")
    assert credit_of(trial.person) == 180_000


def test_trial_return_refuses_a_deduction_that_nobody_explains():
    with pytest.raises(Refused, match="Say what the deduction is for"):
        give_back(make.make_running_trial(), deduction_minor=2_500, note=" ")
    assert sums(Payment) == 180_000


def test_trial_return_refuses_a_deduction_above_what_was_paid():
    trial = make.make_running_trial()
    with pytest.raises(NotEnough, match="more than was paid"):
        give_back(trial, deduction_minor=180_001)
    trial.refresh_from_db()
    assert trial.state == "out"


def test_trial_ends_once():
    trial = make.make_running_trial()
    give_back(trial)
    with pytest.raises(AlreadyClosed, match="is not out"):
        keep(trial)


def test_credit_left_by_one_exchange_is_spent_on_the_next():
    person = make.make_person()
    exchange(make.make_running_trial(person=person), 120_000)
    sale = exchange(make.make_running_trial(person=person, pay_now_minor=10_000), 100_000)
    assert (still_to_pay(sale.promise), credit_of(person)) == (30_000, 0)


def test_all_money_in_is_in_promises_or_in_credit():
    person = make.make_person()
    exchange(make.make_running_trial(person=person, credit_percent=80), 120_000)
    give_back(make.make_running_trial(person=person), deduction_minor=1_999)
    keep(make.make_running_trial(person=person, pay_now_minor=7))
    in_promises = sum(value_in(promise) for promise in person.promises.all())
    assert sums(Payment) == in_promises + credit_of(person)
    assert sums(CreditEntry) == credit_of(person)
