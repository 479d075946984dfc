"""Told once, those who agreed, of what came into the window and fits; and no more once they say so."""

from datetime import timedelta
from io import StringIO
from uuid import uuid4

import pytest
from django.core import mail
from django.core.management import CommandError, call_command
from django.urls import reverse
from django.utils import timezone

from instruments.actions.history import save_tracked
from shop.actions.erasing import erase_person
from shop.actions.listing import draft_listing
from shop.actions.tellings import send_tellings, tell
from shop.models import ShopProfile, Telling, Wanted
from shop.tellings import NO_ADDRESS, letter_of, no_more_path, to_tell
from shop.waiting_tellings import tellings_waiting
from tests import make
from tests.hostile import HOSTILE_TEXTS

pytestmark = pytest.mark.django_db
THEIRS = "priya@ravenhall.example"


@pytest.fixture
def server(settings):
    settings.EMAIL_HOST, settings.DEFAULT_FROM_EMAIL = "mail.example", "shop@larkrow.example"


@pytest.fixture
def shop(owner):
    profile = ShopProfile(pk=1, name="Lark Row Pianos", public_address="https://larkrow.example/window/")
    save_tracked(profile, by=owner, why="Set up")
    return profile


def agreed(days_ago: int = 3, **wish) -> Wanted:
    person = wish.pop("person", None) or make.make_person(name="Priya Ravenhall", email=THEIRS)
    on = timezone.localdate() - timedelta(days=days_ago)
    return make.make_wanted(person=person, told_agreed_on=on, **wish)


def shown(by, **fields):
    instrument = make.make_instrument(by=by, **fields)
    make.make_price(instrument=instrument, by=by)
    make.make_photo(instrument=instrument)
    make.put_in_window(draft_listing(instrument=instrument, by=by), by=by)
    return instrument


def run() -> list[str]:
    mail.outbox.clear()
    send_tellings()
    return [to for letter in mail.outbox for to in letter.to]


def test_it_goes_once_to_each_who_agreed_and_whom_it_fits(owner, shop, server):
    wish = agreed()
    agreed(maker="Dornstrand", person=make.make_person(name="Otto Hay", email="otto@hay.example"))
    make.make_wanted(person=make.make_person(name="Ada Fell", email="ada@fell.example"))
    assert run() == []
    instrument = shown(owner)
    assert run() == [THEIRS] and run() == []
    letter = Telling.objects.get()
    assert (letter.wanted, letter.instrument, letter.state) == (wish, instrument, "sent")


def test_what_stood_in_the_window_before_they_agreed_is_no_news(owner, shop):
    shown(owner)
    agreed(days_ago=-1)
    assert to_tell() == []


def test_what_speaks_against_it_keeps_the_letter_back(owner, shop):
    agreed(must=[], most_minor=100)
    shown(owner)
    assert to_tell() == []


def test_the_letter_says_why_and_how_to_be_told_no_more(owner, shop, server):
    wish, instrument = agreed(kind="upright"), shown(owner)
    run()
    letter = mail.outbox[0]
    assert letter.subject == f"Halden & Rook ({instrument.stock_number}) is in our window"
    assert "Dear Priya Ravenhall," in letter.body and "an upright, as asked" in letter.body
    assert f"https://larkrow.example{no_more_path(wish)}" in letter.body
    assert f"https://larkrow.example{instrument.listing.get_absolute_url()}" in letter.body


def test_without_an_address_of_the_window_nothing_goes(owner, server):
    agreed()
    shown(owner)
    assert run() == [] and send_tellings().kept_back == NO_ADDRESS


def test_a_press_on_the_link_ends_it_and_opening_it_does_not(client, owner, shop):
    wish = agreed()
    shown(owner)
    address = no_more_path(wish)
    page = client.get(address).content.decode()
    wish.refresh_from_db()
    assert "Write to me no more" in page and wish.is_told
    assert "Ravenhall" not in page and "Halden" not in page
    assert "You are told no more" in client.post(address).content.decode()
    assert client.post(address).status_code == 200
    wish.refresh_from_db()
    assert not wish.is_told and wish.is_open and to_tell() == []


@pytest.mark.parametrize("wrong", ["abc", "MQ:1abc:def", "W" * 300])
def test_a_link_that_is_not_ours_leads_nowhere(client, wrong):
    answer = client.post(reverse("tell_no_more", args=[wrong]))
    assert answer.status_code == 404 and "leads nowhere" in answer.content.decode()


def test_the_link_without_the_csrf_token_is_refused(client, shop):
    wish = agreed()
    client.handler.enforce_csrf_checks = True
    assert client.post(no_more_path(wish)).status_code == 403
    wish.refresh_from_db()
    assert wish.is_told


def test_what_failed_stands_on_today_and_is_tried_again(owner, shop, server, monkeypatch):
    def refuse(self):
        raise OSError("no line")

    agreed()
    shown(owner)
    with monkeypatch.context() as patch:
        patch.setattr("django.core.mail.EmailMessage.send", refuse)
        with pytest.raises(CommandError):
            call_command("send_reminders", stdout=StringIO(), stderr=StringIO())
    line = tellings_waiting()[0].lines[0]
    assert line.is_late and "no line" in line.detail
    call_command("send_reminders", stdout=StringIO())
    telling = Telling.objects.get()
    assert (telling.state, telling.tries, len(mail.outbox)) == ("sent", 2, 1)


def test_what_was_cut_off_never_goes_twice(owner, shop, server):
    wish, instrument = agreed(), shown(owner)
    Telling.objects.create(wanted=wish, instrument=instrument, recipient=THEIRS)
    assert run() == []


def test_taken_back_meanwhile_nothing_goes(owner, shop, server):
    wish = agreed()
    shown(owner)
    due = to_tell()[0]
    Wanted.objects.filter(pk=wish.pk).update(told_ended_on=timezone.localdate())
    with pytest.raises(Exception, match="no more of it"):
        tell(due=due, state="by_hand", by=owner)


def test_somebody_tells_them_by_hand_without_a_mail_server(client, seller, owner, shop):
    client.force_login(seller)
    wish = agreed()
    shown(owner)
    line = tellings_waiting()[0].lines[0]
    page = client.get(line.url).content.decode()
    assert "Dear Priya Ravenhall," in page and "Send this letter now" not in page
    typed = {"form_token": uuid4().hex, "state": "by_hand"}
    first, again = (client.post(line.url, typed) for _ in range(2))
    assert first.url == again.url == wish.get_absolute_url()
    assert Telling.objects.get().told_by == seller and tellings_waiting() == []
    assert "Told another way" in client.get(wish.get_absolute_url()).content.decode()


def test_it_is_sent_from_the_page_once_it_is_kept(
    client, seller, owner, shop, server, django_capture_on_commit_callbacks
):
    client.force_login(seller)
    agreed()
    shown(owner)
    with django_capture_on_commit_callbacks(execute=True):
        client.post(tellings_waiting()[0].lines[0].url, {"form_token": uuid4().hex, "state": "sent"})
    assert Telling.objects.get().state == "sent" and mail.outbox[0].to == [THEIRS]


def test_hostile_words_make_one_plain_letter(owner, shop):
    agreed()
    instrument = shown(owner)
    due = to_tell()[0]
    for text in HOSTILE_TEXTS:
        words = text.encode("utf-8", "replace").decode()
        due.wanted.person.name, due.instrument.maker = words, words
        letter = letter_of(due, shop)
        assert "\n" not in letter.subject and "\r" not in letter.subject
    assert instrument.stock_number in letter.subject


def test_what_was_told_goes_with_their_data(owner, shop, server):
    wish = agreed()
    shown(owner)
    run()
    on = timezone.localdate()
    erase_person(person=wish.person, asked_how="letter", asked_on=on, by=owner, on=on)
    assert not Telling.objects.exists() and not Wanted.objects.exists()


def test_asking_whom_to_tell_takes_a_fixed_number_of_queries(owner, shop, django_assert_max_num_queries):
    agreed()
    shown(owner)
    with django_assert_max_num_queries(12) as before:
        assert len(to_tell()) == 1
    agreed(person=make.make_person(name="Otto Hay", email="otto@hay.example"))
    shown(owner)
    with django_assert_max_num_queries(12) as after:
        assert len(to_tell()) == 4
    assert len(before) == len(after)
