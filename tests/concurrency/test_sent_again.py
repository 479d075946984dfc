"""One form sent more than once to several processes: button, line, patience or machine failed."""

from contextlib import suppress
from http.client import HTTPException

import pytest
from django.db import transaction

from instruments.models import Submission
from shop.actions.ledger import lock_person
from shop.models import Payment
from tests import make
from tests.concurrency.callers import all_at_once
from tests.concurrency.races import payment_filled_in
from tests.concurrency.served import AFTER_THE_COMMIT, BEFORE_THE_COMMIT

AT_ONCE = 50
LINE_FAILED = (HTTPException, OSError)


@pytest.fixture(scope="module")
def server(open_shop):
    return open_shop("tests.concurrency.doors:mortal()")


@pytest.fixture
def trial(transactional_db, seller):
    """Started with half of its price, so that plenty is still to pay."""
    return make.make_running_trial(pay_now_minor=50_000)


@pytest.fixture
def press_again(trial):
    """What the same form gets at last: the page that it would have led to the first time, and one payment."""

    def press(form) -> None:
        answer = form.press()
        assert (answer.status, answer.location) == (302, trial.get_absolute_url())
        assert [each.amount_minor for each in Payment.objects.all()] == [50_000, 10_000]
        assert Submission.objects.count() == 1

    return press


def test_button_pressed_fifty_times_at_once_takes_one_payment(callers, trial, press_again):
    form = payment_filled_in(*callers(1), trial.promise)
    answers = all_at_once([form] * AT_ONCE)
    assert {(each.status, each.location) for each in answers} == {(302, trial.get_absolute_url())}
    press_again(form)


def test_phone_that_hangs_up_before_the_answer_pays_once(callers, trial, press_again):
    form = payment_filled_in(*callers(1), trial.promise)
    form.press_and_hang_up()
    press_again(form)


def test_post_after_a_timeout_pays_once(callers, trial, press_again):
    """The answer cannot come in time: we hold what the payment needs until the phone has given up."""
    form = payment_filled_in(*callers(1), trial.promise)
    with transaction.atomic():
        lock_person(trial.person)
        form.press_and_give_up(after=1)
    press_again(form)


@pytest.mark.parametrize("moment", [BEFORE_THE_COMMIT, AFTER_THE_COMMIT])
def test_process_killed_at_its_work_leaves_one_payment_when_the_form_is_sent_again(
    callers, trial, press_again, moment
):
    form = payment_filled_in(*callers(1), trial.promise)
    with pytest.raises(LINE_FAILED):
        form.press(**{"X-Dies": moment})
    assert Payment.objects.count() == (2 if moment == AFTER_THE_COMMIT else 1)
    press_again(form)


def test_processes_killed_just_after_the_form_was_sent_leave_one_payment(callers, server, trial, press_again):
    """From outside, at whatever line each was: all of them, several times over."""
    form = payment_filled_in(*callers(1), trial.promise)
    for _ in range(5):
        line = form.send()
        server.kill_all_workers()
        with suppress(*LINE_FAILED):
            line.getresponse()
        line.close()
    press_again(form)
