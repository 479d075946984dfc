"""No home trial is settled over a report of its return that is still open, unless somebody says why."""

from uuid import uuid4

import pytest
from django.urls import reverse
from django.utils import timezone

from instruments.actions.condition_reports import close_report
from instruments.problems import Blocked
from shop.actions.trials import exchange_trial, return_trial
from shop.forms.trial_money import COMPARE_FIRST
from shop.models import Payment, Trial
from shop.problems import STILL_LOOKED_AT, listing_problems
from shop.settlement import settlement_facts
from tests import make

pytestmark = pytest.mark.django_db
STILL_OPEN = "is begun and not closed. Close it, and compare it"


def with_open_report(seller):
    today = timezone.localdate()
    trial = make.make_running_trial(on=today)
    report = make.make_report(instrument=trial.instrument, by=seller, occasion="back_from_trial", on=today)
    make.make_line(report=report, by=seller)
    return trial, report


def press(client, trial, **typed):
    address = reverse("shop:trial_return", args=[trial.number])
    typed = {"give_back": "refund", "method": "card", "form_token": uuid4().hex} | typed
    return client.post(address, typed, follow=True).content.decode()


def test_a_return_waits_for_its_comparison_and_moves_no_money(client, seller):
    trial, report = with_open_report(seller)
    client.force_login(seller)
    page = press(client, trial)
    assert STILL_OPEN in page
    assert page.count(COMPARE_FIRST) == 2  # over the form, and beside its field
    assert 'aria-describedby="id_without_comparing_helptext id_without_comparing_error"' in page
    assert Payment.objects.count() == 1
    close_report(report=report, by=seller)
    assert "Settle without comparing" not in client.get(f"{trial.get_absolute_url()}return/").content.decode()
    press(client, trial)
    assert Trial.objects.get().outcome == "returned"


def test_settled_without_comparing_the_reason_stays_and_the_pages_say_what_is_open(client, seller):
    trial, report = with_open_report(seller)
    client.force_login(seller)
    why = "They move house today; the van waits."
    assert why in press(client, trial, without_comparing=why)
    trial = Trial.objects.get()
    assert [fact.basis for fact in settlement_facts(trial) if fact.label == "Condition"] == [why]
    assert STILL_LOOKED_AT in [each.sentence for each in listing_problems(trial.instrument)]
    close_report(report=report, by=seller)
    assert STILL_LOOKED_AT not in [each.sentence for each in listing_problems(trial.instrument)]


def test_the_instrument_page_does_not_call_it_ready_while_its_return_is_looked_over(client, owner):
    piano = make.make_instrument()
    make.make_price(instrument=piano)
    make.make_photo(instrument=piano)
    report = make.make_report(instrument=piano, by=owner, occasion="back_from_trial")
    make.make_line(report=report, by=owner)
    client.force_login(owner)
    page = client.get(piano.get_absolute_url()).content.decode()
    assert "Its report as it came back is still open." in page
    close_report(report=report, by=owner)
    page = client.get(piano.get_absolute_url()).content.decode()
    assert "Nothing stands between this piano and the window." in page


def test_the_acts_refuse_it_too(seller):
    trial, _ = with_open_report(seller)
    given = {"trial": trial, "by": seller, "on": timezone.localdate()}
    with pytest.raises(Blocked, match=STILL_OPEN):
        return_trial(give_back="credit", **given)
    with pytest.raises(Blocked, match=STILL_OPEN):
        exchange_trial(other=make.make_instrument(), other_price_minor=90_000, **given)
    assert Trial.objects.get().state == "out"
