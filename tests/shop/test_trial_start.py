import pytest
from django.db import IntegrityError, transaction
from django.urls import reverse

from instruments.problems import Blocked, Refused
from shop.actions.ledger import credit_of, value_in
from shop.actions.promises import AlreadyClosed
from shop.actions.trials import draft_trial, return_trial, start_trial
from shop.models import Listing, Promise
from shop.states import ListingState
from tests import make

pytestmark = pytest.mark.django_db


def start(trial):
    return start_trial(trial=trial, method="card", reference="till 4", by=make.somebody(), on=make.A_DAY)


def test_trial_start_promises_the_instrument_and_takes_what_is_paid_now():
    trial = start(make.make_trial(pay_now_minor=90_000))
    assert trial.promise.instrument == trial.instrument
    assert value_in(trial.promise) == 90_000


def test_trial_start_sends_the_instrument_to_the_customer():
    trial = start(make.make_trial())
    trial.instrument.refresh_from_db()
    assert trial.instrument.place == "customer"


def test_trial_start_takes_the_listing_out_of_the_window():
    trial = make.make_trial()
    listing = Listing.objects.create(
        instrument=trial.instrument, slug="halden", headline="Halden", state=ListingState.PUBLISHED
    )
    start(trial)
    listing.refresh_from_db()
    assert listing.state == ListingState.WITHDRAWN


def test_trial_start_refuses_an_instrument_already_on_trial():
    first = make.make_running_trial()
    second = make.make_trial(instrument=first.instrument, person=make.make_person(name="Nell Sorrel"))
    with pytest.raises(Blocked, match=r"out on home trial until 2 May 2026\. It is promised to Wilf Arden"):
        start(second)
    assert Promise.objects.count() == 1


def test_trial_start_refuses_ivory_without_a_registration():
    trial = make.make_trial(instrument=make.make_instrument(natural_covering="ivory"))
    with pytest.raises(Blocked, match="covered with ivory, and no registration"):
        start(trial)


def test_trial_start_happens_once():
    trial = make.make_running_trial()
    with pytest.raises(AlreadyClosed, match="has started already"):
        start(trial)


def test_trial_of_three_months_cannot_be_drafted():
    instrument, person = make.make_instrument(), make.make_person()
    with pytest.raises(Blocked, match="may then be regulated hire"):
        make.make_trial(instrument=instrument, person=person, ends_on=make.A_DAY.replace(month=6, day=30))


def test_trial_numbers_follow_each_other_without_a_gap():
    first = make.make_trial()
    with pytest.raises(IntegrityError), transaction.atomic():
        draft_trial(
            instrument=first.instrument,
            person=first.person,
            by=make.somebody(),
            on=make.A_DAY,
            starts_on=first.starts_on,
            ends_on=first.ends_on,
            price_minor=None,
            pay_now_minor=0,
        )
    assert [first.number, make.make_trial().number] == ["T26-001", "T26-002"]


def test_trial_whose_last_day_has_passed_does_not_start():
    trial = make.make_trial()
    with pytest.raises(Refused, match="last day of this trial has passed"):
        start_trial(trial=trial, method="card", by=make.somebody(), on=trial.ends_on)
    assert not Promise.objects.exists()


def test_trial_start_takes_the_delivery_charge_apart_from_the_price():
    trial = start(make.make_trial(pay_now_minor=90_000, delivery_minor=9_500))
    paid = {payment.purpose: payment.amount_minor for payment in trial.promise.payments.all()}
    assert paid == {"price": 90_000, "delivery": 9_500}
    assert value_in(trial.promise) == 90_000


def test_delivery_stands_in_the_account_and_never_becomes_credit(client, seller):
    trial = start(make.make_trial(pay_now_minor=90_000, delivery_minor=9_500))
    return_trial(trial=trial, give_back="credit", by=make.somebody(), on=make.A_DAY)
    client.force_login(seller)
    assert credit_of(trial.person) == 90_000
    assert "Paid for delivery" in client.get(trial.person.get_absolute_url()).content.decode()


def test_the_start_page_asks_for_what_the_agreement_asks_for(client, seller):
    trial = make.make_trial(pay_now_minor=90_000, delivery_minor=9_500)
    client.force_login(seller)
    words = client.get(reverse("shop:trial_start", args=[trial.number])).content.decode()
    assert "£995.00 is paid now: £900.00 toward its price and £95.00 for delivery" in words
