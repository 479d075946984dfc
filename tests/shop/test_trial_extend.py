"""More time for a home trial: in writing, while it is out, and never to three months."""

from datetime import date, timedelta
from uuid import uuid4

import pytest
from django.db import DatabaseError, IntegrityError, transaction
from django.urls import reverse
from django.utils import timezone

from instruments.problems import Blocked, Refused
from shop.actions.promises import AlreadyClosed
from shop.actions.trial_extensions import extend_trial
from shop.actions.trials import return_trial
from shop.calc.deadlines import may_be_regulated_hire
from shop.models import Promise, TermsVersion, Trial, TrialExtension
from shop.problems import LONGEST_LOAN_DAYS
from shop.trial_days import days_of
from shop.trial_problems import AGREED_TOO_LATE, extension_problems, longest_until
from shop.waiting import trials_ending
from tests import make
from tests.shop.test_promise_race import all_at_once

pytestmark = pytest.mark.django_db
WEEK = timedelta(days=7)


def extended(trial: Trial, by, *, until: date | None = None, on: date = make.A_DAY, **said):
    said = {"agreed_on": on, "why": "Her letter of that day: the room is not painted yet."} | said
    return extend_trial(trial=trial, until=until or trial.ends_on + WEEK, by=by, on=on, **said)


def test_trial_and_promise_end_later_together_and_both_days_stay_on_file(seller):
    trial = make.make_running_trial()
    extension = extended(trial, seller)
    moved = Trial.objects.get(pk=trial.pk)
    assert moved.ends_on == moved.promise.until == extension.until == trial.ends_on + WEEK
    assert extension.ended_before == trial.ends_on
    assert extension.number == f"{trial.number}-E1"
    assert moved.history.first().history_change_reason.startswith(f"Home trial {trial.number} extended to")
    assert extended(moved, seller).number == f"{trial.number}-E2"


def test_everything_that_asks_for_the_end_gets_the_new_one(client, seller):
    today = timezone.localdate()
    trial = make.make_running_trial(on=today - timedelta(days=40))
    assert [line.is_late for line in trials_ending(trial.ends_on + WEEK).lines] == [True]
    extended(trial, seller, on=today)
    assert [line.is_late for line in trials_ending(trial.ends_on + WEEK).lines] == [False]
    client.force_login(seller)
    until = trial.ends_on + WEEK
    for address in (trial.get_absolute_url(), trial.instrument.get_absolute_url()):
        assert f"{until:%-d %B %Y}" in client.get(address).content.decode(), address
    assert f"to {until:%-d %b %Y}" in client.get(reverse("shop:trials")).content.decode()


def test_the_calendar_gets_the_new_day_under_the_same_name_with_a_higher_revision(client, seller):
    trial = make.make_running_trial()
    client.force_login(seller)
    address = reverse("shop:promise_calendar", args=[trial.promise_id])
    before = client.get(address).content.decode().split("\r\n")
    extended(extended(trial, seller).trial, seller)
    after = client.get(address).content.decode().split("\r\n")
    assert before[5] == after[5]
    assert before[5].startswith("UID:promise-")
    assert "SEQUENCE:0" in before
    assert "SEQUENCE:2" in after
    assert f"DTSTART;VALUE=DATE:{trial.ends_on + 2 * WEEK:%Y%m%d}" in after


@pytest.mark.parametrize(
    ("days", "sentence"),
    [
        (0, "It is out until 2 May 2026 already"),
        (-1, "It is out until 2 May 2026 already"),
        (LONGEST_LOAN_DAYS - 42 + 1, "A loan of 89 days can run to three months or more"),
    ],
)
def test_a_day_that_is_not_later_or_makes_it_regulated_hire_is_refused(seller, days, sentence):
    trial = make.make_running_trial()
    with pytest.raises(Blocked, match=sentence):
        extended(trial, seller, until=trial.ends_on + timedelta(days=days))
    assert not TrialExtension.objects.exists()
    assert Promise.objects.get().until == trial.ends_on


def test_the_whole_loan_is_counted_from_the_first_day_it_was_out_and_not_from_each_extension(seller):
    trial = make.make_running_trial(starts_on=make.A_DAY + timedelta(days=5), ends_on=make.A_DAY + 6 * WEEK)
    longest = make.A_DAY + timedelta(days=LONGEST_LOAN_DAYS)
    assert longest_until(trial) == longest
    extended(trial, seller, until=longest - WEEK)
    trial = extended(Trial.objects.get(), seller, until=longest).trial
    with pytest.raises(Blocked, match="three months"):
        extended(trial, seller, until=longest + timedelta(days=1))


@pytest.mark.parametrize("month", range(1, 13))
def test_the_longest_loan_is_under_three_months_whenever_it_begins(month):
    """CCA 1974 s 15 as calc/deadlines has it; February makes the shortest three months."""
    for day in (1, 15, 28):
        first = date(2026, month, day)
        assert not may_be_regulated_hire(first, first + timedelta(days=LONGEST_LOAN_DAYS))


def test_only_what_is_out_can_be_extended(seller):
    drafted, back = make.make_trial(), make.make_running_trial()
    return_trial(trial=back, give_back="credit", by=seller, on=make.A_DAY)
    for trial in (drafted, back):
        with pytest.raises(AlreadyClosed, match="is not out"):
            extended(trial, seller)


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"agreed_on": make.A_DAY + timedelta(days=1)}, "on a day to come"),
        ({"agreed_on": make.A_DAY - timedelta(days=1)}, "It was not out yet"),
        ({"on": make.A_DAY + 9 * WEEK}, "That day has passed"),
    ],
)
def test_days_that_cannot_be_are_refused(seller, changes, sentence):
    trial = make.make_running_trial()
    with pytest.raises(Blocked, match=sentence):
        extended(trial, seller, **({"agreed_on": make.A_DAY} | changes))


def test_where_silence_buys_an_extension_after_the_last_day_is_cautioned(seller):
    trial = make.make_running_trial()
    late = trial.ends_on + timedelta(days=1)
    days = {"until": late + WEEK, "agreed_on": late, "is_late": True, "on": late}
    assert extension_problems(trial, **days) == []
    trial.terms = TermsVersion(label="9", keeping_is_buying=True)
    assert [problem.sentence for problem in extension_problems(trial, **days)] == [AGREED_TOO_LATE]
    assert extension_problems(trial, **(days | {"agreed_on": trial.ends_on})) == []
    extended(Trial.objects.get(), seller, **days)
    assert days_of(Trial.objects.get()).bought_by_silence_on is None


def test_a_refused_form_keeps_what_was_typed_and_changes_nothing(client, seller):
    trial = make.make_running_trial(on=timezone.localdate())
    client.force_login(seller)
    address = reverse("shop:trial_extend", args=[trial.number])
    typed = {"until": trial.ends_on.isoformat(), "agreed_on": "2199-01-01", "why": "Their e-mail <b>"}
    page = client.post(address, typed | {"form_token": uuid4().hex}).content.decode()
    assert "That day has not come yet." in page
    assert "Their e-mail &lt;b&gt;" in page
    page = client.post(
        address, typed | {"agreed_on": timezone.localdate().isoformat(), "form_token": uuid4().hex}
    ).content.decode()
    assert "already. Give a later day." in page
    assert not TrialExtension.objects.exists()


def test_pressed_twice_it_is_extended_once(client, seller):
    trial = make.make_running_trial(on=timezone.localdate())
    client.force_login(seller)
    address = reverse("shop:trial_extend", args=[trial.number])
    typed = {"until": (trial.ends_on + WEEK).isoformat(), "agreed_on": timezone.localdate().isoformat()}
    typed |= {"why": "Their e-mail of today.", "form_token": uuid4().hex}
    for _ in range(2):
        assert client.post(address, typed).status_code == 302
    assert TrialExtension.objects.count() == 1
    page = client.get(trial.get_absolute_url()).content.decode()
    assert "More time, in writing" in page
    assert "Their e-mail of today." in page


def test_an_extension_stays_as_it_was_written(seller):
    extended(make.make_running_trial(), seller)
    with pytest.raises(DatabaseError), transaction.atomic():
        TrialExtension.objects.update(until=date(2026, 12, 31))


def test_the_database_refuses_a_second_extension_of_one_last_day(seller):
    extension = extended(make.make_running_trial(), seller)
    twin = {name: getattr(extension, name) for name in ("trial", "ended_before", "until", "agreed_on", "why")}
    with pytest.raises(IntegrityError), transaction.atomic():
        TrialExtension.objects.create(number="T-0-E9", recorded_by=seller, **twin)


@pytest.mark.django_db(transaction=True)
def test_of_many_who_extend_at_once_to_one_day_exactly_one_does():
    trial, by = make.make_running_trial(), make.somebody()
    answers = all_at_once([lambda: extended(trial, by)] * 12)
    assert sum(isinstance(answer, Refused) for answer in answers) == 11
    assert TrialExtension.objects.count() == 1
    assert Promise.objects.get().until == Trial.objects.get().ends_on == trial.ends_on + WEEK


def test_agreed_after_the_last_day_is_refused_unless_both_stand_by_it(client, seller):
    today = timezone.localdate()
    trial = make.make_running_trial(on=today - timedelta(days=44))
    client.force_login(seller)
    address = reverse("shop:trial_extend", args=[trial.number])
    typed = {"until": (today + WEEK).isoformat(), "agreed_on": today.isoformat(), "why": "Her letter"}
    page = client.post(address, typed | {"form_token": uuid4().hex})
    (said,) = page.context["form"].errors["agreed_on"]
    assert said.startswith(f"Its last day was {trial.ends_on:%-d %B %Y}: more time is agreed by then")
    in_time = typed | {"agreed_on": trial.ends_on.isoformat(), "form_token": uuid4().hex}
    assert client.post(address, in_time).status_code == 302
    assert TrialExtension.objects.get().agreed_on == trial.ends_on
