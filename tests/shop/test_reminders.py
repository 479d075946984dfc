"""Reminders by e-mail: once for each mark and address, to the shop and, by its terms, to the customer."""

import email
import email.policy
import socket
from datetime import timedelta
from io import StringIO

import pytest
from django.core import mail
from django.core.exceptions import ImproperlyConfigured
from django.core.management import CommandError, call_command
from django.db import DatabaseError, transaction
from django.utils import timezone

from instruments.actions.history import save_tracked
from shop import read_only
from shop.actions import reminders
from shop.actions.promises import place_hold, release_hold
from shop.actions.reminders import send_reminders
from shop.actions.trial_extensions import extend_trial
from shop.mail import MailServer, mail_server
from shop.management.commands.send_reminders import NO_SERVER
from shop.models import Person, ReminderAttempt, ReminderResult, ShopProfile
from shop.waiting_reminders import reminders_not_sent
from tests import make
from tests.mail_sink import mail_sink
from tests.shop.test_promise_race import all_at_once

pytestmark = pytest.mark.django_db
OURS, THEIRS = "hello@larkrow.example", "wilf@arden.example"
END = make.A_DAY + timedelta(days=42)


@pytest.fixture(autouse=True)
def server(settings):
    settings.EMAIL_HOST, settings.DEFAULT_FROM_EMAIL = "mail.example", "shop@larkrow.example"


@pytest.fixture
def shop(seller):
    profile = ShopProfile(pk=1, name="Lark Row Pianos", email=OURS, reminds_customers=True)
    save_tracked(profile, by=seller, why="Set up")
    return profile


def a_trial(**terms):
    return make.make_running_trial(person=make.make_person(email=THEIRS), **terms)


def run(days_before: int) -> list[str]:
    mail.outbox.clear()
    send_reminders(on=END - timedelta(days=days_before))
    return [to for message in mail.outbox for to in message.to]


def command() -> str:
    out = StringIO()
    call_command("send_reminders", stdout=out, stderr=out)
    return out.getvalue()


def test_run_every_day_each_mark_goes_once_to_each(shop):
    a_trial()
    gone = {days: run(days) for days in range(20, -12, -1)}
    assert {days for days, to in gone.items() if to} == {14, 7, 0, -1}
    assert gone[14] == gone[7] == gone[0] == gone[-1] == [OURS, THEIRS]
    assert ReminderAttempt.objects.count() == ReminderResult.objects.filter(was_sent=True).count() == 8


def test_run_twice_a_day_it_goes_once(shop):
    a_trial()
    assert run(14) == [OURS, THEIRS]
    assert run(14) == run(13) == []


def test_a_run_that_missed_days_sends_the_nearest_mark_alone(shop):
    a_trial()
    assert run(5) == [OURS, THEIRS]
    assert set(ReminderAttempt.objects.values_list("mark", flat=True)) == {7}


def test_customers_are_written_to_only_where_the_terms_of_the_shop_say_so(shop, seller):
    a_trial()
    shop.reminds_customers = False
    save_tracked(shop, by=seller, why="Terms")
    assert run(14) == [OURS]


def test_a_hold_is_reminded_of_and_what_was_let_go_is_not(shop, seller):
    who = {"person": make.make_person(email=THEIRS), "by": seller, "on": make.A_DAY}
    hold = place_hold(instrument=make.make_instrument(), until=END, **who)
    assert run(7) == [OURS, THEIRS]
    assert "We keep the Halden & Rook" in mail.outbox[1].subject
    release_hold(promise=hold, by=seller, on=make.A_DAY)
    assert run(0) == []


def test_an_extension_begins_the_marks_anew_and_says_the_new_day(shop, seller):
    trial = a_trial()
    assert run(7)
    extend_trial(trial=trial, until=END + timedelta(days=14), why="Letter", agreed_on=END, by=seller, on=END)
    assert run(0) == [OURS, THEIRS]
    assert "16 May 2026" in mail.outbox[1].subject
    assert "that is in 14 days" in mail.outbox[1].body


def test_what_it_says(shop):
    a_trial()
    run(14)
    ours, theirs = mail.outbox
    assert theirs.subject == "Your home trial ends on 2 May 2026"
    assert "Saturday, 2 May 2026: that is in 14 days." in theirs.body
    assert "it is not bought: it stays ours" in theirs.body
    assert theirs.reply_to == [OURS]
    assert theirs.from_email == "Lark Row Pianos <shop@larkrow.example>"
    assert "Ask Wilf Arden: wilf@arden.example." in ours.body
    assert theirs.content_subtype == "plain"
    assert not theirs.attachments


def test_no_head_line_is_smuggled_in_and_nothing_is_read_as_markup(shop, seller):
    evil = "Rook\r\nBcc: all@evil.example\r\n\r\n<b>Hello</b>"
    shop.name = evil[:100]
    save_tracked(shop, by=seller, why="Hostile")
    person = make.make_person(name=evil, email=THEIRS)
    make.make_running_trial(person=person, instrument=make.make_instrument(maker=evil))
    assert run(14) == [OURS, THEIRS]
    for message in mail.outbox:
        heads = email.message_from_bytes(message.message().as_bytes(), policy=email.policy.default)
        assert set(heads.keys()) <= {
            *("Content-Type", "MIME-Version", "Content-Transfer-Encoding", "Subject", "From", "To"),
            *("Reply-To", "Date", "Message-ID"),
        }
        assert heads.get_content_type() == "text/plain"


def test_an_address_that_is_none_is_a_failure_on_file_and_stops_nobody_else(shop):
    a_trial()
    Person.objects.update(email="wilf@arden.example\r\nBcc: all@evil.example")
    run(14)
    assert [message.to for message in mail.outbox] == [[OURS]]
    assert ReminderResult.objects.get(was_sent=False).answer.startswith("BadHeaderError")


def test_without_a_mail_server_it_says_so_and_changes_nothing(shop, settings):
    settings.EMAIL_HOST = ""
    today = timezone.localdate()
    make.make_running_trial(on=today - timedelta(days=35), ends_on=today + timedelta(days=7))
    said = command()
    assert NO_SERVER in said
    assert "Due today: 1" in said
    assert not mail.outbox
    assert not ReminderAttempt.objects.exists()


def test_the_command_says_what_went_and_then_that_nothing_is_due(shop):
    today = timezone.localdate()
    make.make_running_trial(on=today - timedelta(days=35), ends_on=today + timedelta(days=7))
    assert "7 days before, to hello@larkrow.example" in command()
    assert "Nothing was due" in command()


def smtp(settings, port: int) -> None:
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT, settings.EMAIL_TIMEOUT = "127.0.0.1", port, 5
    settings.EMAIL_USE_TLS = settings.EMAIL_USE_SSL = False
    settings.EMAIL_HOST_USER = settings.EMAIL_HOST_PASSWORD = ""


def test_a_real_mail_server_gets_the_letter(shop, settings):
    trial = a_trial()
    with mail_sink() as server:
        smtp(settings, server.server_address[1])
        assert len(send_reminders(on=END).sent) == 2
        assert send_reminders(on=END).sent == []
    letters = [email.message_from_bytes(each, policy=email.policy.default) for each in server.letters]
    assert [letter["To"] for letter in letters] == [OURS, THEIRS]
    assert letters[1]["Subject"] == "Your home trial ends on 2 May 2026"
    assert f"({trial.number}) is to be kept" in letters[1].get_content()


def test_one_mailbox_that_is_refused_holds_up_nobody_else_and_is_tried_again(shop, settings):
    a_trial()
    with mail_sink(refused=(OURS,)) as server:
        smtp(settings, server.server_address[1])
        went = send_reminders(on=END)
    assert len(went.sent) == len(went.failed) == 1
    assert not went.was_broken_off
    assert "no such mailbox" in ReminderResult.objects.get(was_sent=False).answer
    (group,) = reminders_not_sent()
    assert OURS in group.lines[0].detail
    with mail_sink() as server:
        smtp(settings, server.server_address[1])
        assert len(send_reminders(on=END).sent) == 1
    assert reminders_not_sent() == []
    numbers = ReminderAttempt.objects.filter(recipient=OURS).values_list("number", flat=True)
    assert list(numbers) == [1, 2]


def test_a_server_that_is_down_is_recorded_and_the_next_run_sends_all(shop, settings):
    a_trial()
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    smtp(settings, port)
    went = send_reminders(on=END)
    assert went.was_broken_off
    assert "ConnectionRefusedError" in ReminderResult.objects.get().answer
    with mail_sink() as server:
        smtp(settings, server.server_address[1])
        assert len(send_reminders(on=END).sent) == 2
    assert len(server.letters) == 2


def test_the_command_ends_with_a_fault_when_the_server_is_down(shop, settings):
    today = timezone.localdate()
    make.make_running_trial(on=today - timedelta(days=42), ends_on=today)
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    smtp(settings, port)
    with pytest.raises(CommandError, match="1 not sent; tried again by the next run"):
        command()


def test_a_run_that_was_cut_off_never_sends_twice(shop, monkeypatch):
    a_trial()

    def cut_off(*args):
        raise KeyboardInterrupt

    monkeypatch.setattr(reminders, "_sent", cut_off)
    with pytest.raises(KeyboardInterrupt):
        send_reminders(on=END)
    monkeypatch.undo()
    assert run(0) == [THEIRS]  # ours was begun: it may have gone


def test_it_is_given_up_after_so_many_tries(shop, monkeypatch):
    a_trial()
    monkeypatch.setattr(reminders, "_sent", lambda *args: OSError("no route"))
    for _ in range(reminders.MOST_TRIES + 3):
        send_reminders(on=END)
    assert ReminderAttempt.objects.filter(recipient=OURS).count() == reminders.MOST_TRIES


def test_what_was_sent_stays_as_it_was(shop):
    a_trial()
    run(0)
    for model, fields in ((ReminderAttempt, {"mark": 7}), (ReminderResult, {"was_sent": False})):
        with pytest.raises(DatabaseError), transaction.atomic():
            model.objects.update(**fields)


@pytest.mark.django_db(transaction=True)
def test_of_many_runs_at_once_each_letter_goes_once():
    ShopProfile.objects.create(pk=1, email=OURS, reminds_customers=True)
    a_trial()
    mail.outbox.clear()
    all_at_once([lambda: send_reminders(on=END)] * 6)
    assert sorted(to for message in mail.outbox for to in message.to) == [OURS, THEIRS]
    assert ReminderAttempt.objects.count() == 2


@pytest.mark.parametrize(
    ("said", "meant"),
    [
        ({}, MailServer()),
        (
            {"HOST": "mail.example", "FROM": "shop@larkrow.example"},
            MailServer("mail.example", 587, security="starttls", sender="shop@larkrow.example"),
        ),
        (
            {"HOST": "mail.example", "FROM": "a@b.example", "SECURITY": "TLS", "USER": "u", "PASSWORD": "p"},
            MailServer("mail.example", 465, "u", "p", "tls", "a@b.example"),
        ),
    ],
)
def test_the_environment_says_how_letters_go_out(monkeypatch, said, meant):
    for name, value in said.items():
        monkeypatch.setenv(f"WRESTPLANK_MAIL_{name}", value)
    assert mail_server() == meant
    assert "p" not in repr(meant).partition("password")[2]


@pytest.mark.parametrize(
    ("name", "value"),
    [("FROM", "nobody"), ("FROM", ""), ("PORT", "smtp"), ("PORT", "0"), ("SECURITY", "ssl")],
)
def test_what_the_environment_says_wrongly_is_refused_by_name(monkeypatch, name, value):
    said = {"HOST": "mail.example", "FROM": "shop@larkrow.example"} | {name: value}
    for each, words in said.items():
        monkeypatch.setenv(f"WRESTPLANK_MAIL_{each}", words)
    with pytest.raises(ImproperlyConfigured, match=f"WRESTPLANK_MAIL_{name}"):
        mail_server()


def test_nothing_goes_out_while_it_cannot_be_written_down(settings, tmp_path, shop):
    settings.DATA_DIR = tmp_path
    a_trial()
    read_only.begin("a backup is brought back")
    with pytest.raises(CommandError, match="a backup is brought back"):
        command()
    assert not ReminderAttempt.objects.exists() and not mail.outbox
