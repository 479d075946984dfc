"""Enquiries at the shop: seen by whom, answered, passed on, closed, erased, in time and when asked."""

import re
from datetime import timedelta
from uuid import uuid4

import pytest
from django.core import mail
from django.core.management import call_command
from django.db import IntegrityError, transaction
from django.urls import reverse
from django.utils import timezone

from instruments.actions.history import save_tracked
from instruments.problems import Refused
from shop.actions.enquiries import close_enquiry, find_real, pass_on
from shop.actions.enquiry_answers import answer_enquiry
from shop.actions.enquiry_erasing import erase_enquiry, past_their_time
from shop.actions.erasing import erase_person
from shop.actions.person_export import export_of
from shop.erasing_problems import erasing_problems
from shop.models import Enquiry, EnquiryAnswer, EnquirySending, ShopProfile
from shop.waiting_enquiries import enquiries_waiting
from tests import make
from tests.hostile import HOSTILE_TEXTS
from tests.make_enquiry import make_enquiry

pytestmark = pytest.mark.django_db
OUR_MAIL = "hello@larkrow.example"


@pytest.fixture
def server(settings):
    settings.EMAIL_HOST, settings.DEFAULT_FROM_EMAIL = "mail.example", "shop@larkrow.example"


@pytest.fixture
def shop(owner):
    profile = ShopProfile(pk=1, name="Lark Row Pianos", email=OUR_MAIL, enquiry_months=12)
    save_tracked(profile, by=owner, why="Set up")
    return profile


def send(client, name, number, **typed):
    return client.post(reverse(name, args=[number]), {"form_token": uuid4().hex} | typed, follow=True)


def lines(user, on) -> list[tuple[str, bool]]:
    return [(line.words, line.is_late) for group in enquiries_waiting(user, on=on) for line in group.lines]


def test_an_answer_without_a_mail_server_is_kept_and_copied(client, seller, shop):
    client.force_login(seller)
    enquiry = make_enquiry()
    form = client.get(reverse("shop:enquiry_answer", args=[enquiry.number])).content.decode()
    assert "Dear Nell Sorrel," in form and 'value="sent"' not in form and "No mail server is set" in form
    page = send(client, "shop:enquiry_answer", enquiry.number, how="email", words="It is; come at ten.")
    assert "Copy these words" in page.content.decode() and mail.outbox == []
    assert Enquiry.objects.with_answers().get().is_answered


def test_an_answer_goes_by_the_mail_server_once_it_is_kept(
    client, seller, shop, server, django_capture_on_commit_callbacks
):
    client.force_login(seller)
    enquiry = make_enquiry(instrument=make.make_instrument())
    with django_capture_on_commit_callbacks(execute=True):
        send(client, "shop:enquiry_answer", enquiry.number, how="sent", words="It is; come at ten.")
    letter = mail.outbox[0]
    assert letter.to == ["nell@sorrel.example"] and letter.reply_to == [OUR_MAIL]
    assert letter.subject == f"Your enquiry {enquiry.number}: Halden & Rook"
    assert "come at ten" in letter.body and "> Is it still there" in letter.body
    assert EnquirySending.objects.get().was_sent


def test_a_letter_that_failed_is_no_answer(
    seller, shop, server, monkeypatch, django_capture_on_commit_callbacks
):
    def refuse(self):
        raise OSError("no line")

    monkeypatch.setattr("django.core.mail.EmailMessage.send", refuse)
    enquiry = make_enquiry()
    with django_capture_on_commit_callbacks(execute=True):
        answer_enquiry(enquiry=enquiry, how="sent", words="Come at ten", by=seller)
    assert EnquirySending.objects.get().said == "OSError: no line"
    assert not Enquiry.objects.with_answers().get().is_answered
    assert lines(seller, timezone.localdate())


def test_hostile_words_make_one_letter_with_one_subject(
    seller, shop, server, django_capture_on_commit_callbacks
):
    text = "\n".join(HOSTILE_TEXTS).encode("utf-8", "replace").decode().replace("\x00", "")[:2900]
    enquiry = make_enquiry(name="Nell\r\nBcc: all@example.org", message=text)
    with django_capture_on_commit_callbacks(execute=True):
        answer_enquiry(enquiry=enquiry, how="sent", words=text, by=seller)
    message = mail.outbox[0].message()
    assert message.get_all("To") == ["nell@sorrel.example"] and message["Bcc"] is None
    assert message.get_content_type() == "text/plain" and "\n" not in message["Subject"]


def test_answers_are_never_changed(seller):
    answer = answer_enquiry(enquiry=make_enquiry(), how="telephone", words="Come at ten", by=seller)
    with pytest.raises(IntegrityError), transaction.atomic():
        EnquiryAnswer.objects.filter(pk=answer.pk).update(words="Come at two")


def test_a_technician_reads_what_was_given_to_them_without_who_wrote_it(client, technician, seller):
    theirs = make_enquiry(
        about="work",
        name="Canary Jones",
        message="Canary Jones here, it buzzes: ring 01632 960 123 or canary@jones.example",
        telephone="01632 960 123",
    )
    other = make_enquiry(message="Another")
    pass_on(enquiry=theirs, to=technician, why="", by=seller)
    client.force_login(technician)
    page = client.get(theirs.get_absolute_url()).content.decode()
    assert "it buzzes" in page
    assert not re.search(r"canary|jones|960|nell", page, re.IGNORECASE)
    assert client.get(other.get_absolute_url()).status_code == 404
    assert other.number not in client.get(reverse("shop:enquiries")).content.decode()
    assert lines(technician, timezone.localdate()) == [(f"Work or tuning: {theirs.number}", False)]
    send(client, "shop:enquiry_answer", theirs.number, words="A loose screw; half an hour")
    assert EnquiryAnswer.objects.get().how == "advice"
    assert Enquiry.objects.get(pk=theirs.pk).handler is None and lines(technician, timezone.localdate()) == []
    assert "A loose screw" in client.get(theirs.get_absolute_url()).content.decode()
    assert "Canary Jones: work or tuning" in dict(lines(seller, timezone.localdate()))
    assert not Enquiry.objects.with_answers().get(pk=theirs.pk).is_answered
    with pytest.raises(Refused):
        answer_enquiry(enquiry=theirs, how="telephone", words="Come", by=technician)


def test_today_shows_ones_own_and_nobodys_and_the_owner_what_is_late(owner, seller, buyer):
    on = timezone.localdate()
    pass_on(enquiry=make_enquiry(name="Ada Fell"), to=buyer, why="", by=owner)
    make_enquiry(name="Otto Hay", message="Another")
    assert lines(seller, on) == lines(owner, on) == [("Otto Hay: a question", False)]
    assert [each for each, _ in lines(buyer, on)] == ["Ada Fell: a question", "Otto Hay: a question"]
    assert lines(owner, on + timedelta(days=3))[0] == ("Ada Fell: a question", True)


def test_the_doubtful_lie_in_a_tray_until_somebody_looked(client, seller):
    client.force_login(seller)
    enquiry = make_enquiry(trap="x")
    groups = enquiries_waiting(seller, on=timezone.localdate())
    assert [group.heading for group in groups] == ["Perhaps sent by a machine: look once"]
    assert enquiry.name not in client.get(reverse("shop:enquiries")).content.decode()
    assert enquiry.name in client.get(reverse("shop:enquiries") + "?which=doubtful").content.decode()
    client.post(reverse("shop:enquiry_real", args=[enquiry.number]))
    assert enquiry.name in client.get(reverse("shop:enquiries")).content.decode()


def test_it_is_passed_on_and_closed_with_an_outcome_and_the_history_says_so(client, seller, technician):
    client.force_login(seller)
    enquiry = make_enquiry()
    send(client, "shop:enquiry_pass", enquiry.number, to=technician.pk, why="Asks about the hammers")
    assert "How it ended" in send(client, "shop:enquiry_close", enquiry.number, outcome="").content.decode()
    page = send(client, "shop:enquiry_close", enquiry.number, outcome="came", why="Saturday").content.decode()
    assert "passed on to Tobias Lind: Asks about the hammers" in page
    assert "They came, or have a day to come" in page and "by the public page" in page
    with pytest.raises(Refused):
        find_real(enquiry=enquiry, by=seller)


def test_the_list_takes_no_more_queries_with_more_enquiries(client, seller, django_assert_max_num_queries):
    client.force_login(seller)
    make_enquiry(instrument=make.make_instrument())
    client.get(reverse("shop:enquiries"))
    with django_assert_max_num_queries(12) as before:
        client.get(reverse("shop:enquiries"))
    for turn in range(5):
        make_enquiry(instrument=make.make_instrument(), message=f"Question {turn}")
    with django_assert_max_num_queries(12) as after:
        client.get(reverse("shop:enquiries"))
    assert len(after) == len(before)


def test_what_led_to_nothing_goes_after_its_months(owner, shop, capsys):
    on = timezone.localdate()
    gone, kept, customers = (make_enquiry(message=f"Question {turn}") for turn in range(3))
    answer_enquiry(enquiry=gone, how="telephone", words="Dear Nell Sorrel", by=owner)
    Enquiry.objects.filter(pk=customers.pk).update(person=make.make_person())
    for each, days in ((gone, 400), (kept, 100), (customers, 400)):
        close_enquiry(enquiry=each, outcome="silent", by=owner, on=on - timedelta(days=days))
    assert past_their_time(on=on) == [gone]
    call_command("retention", "--dry-run")
    assert Enquiry.objects.get(pk=gone.pk).name == "Nell Sorrel"
    call_command("retention")
    assert f"Enquiry {gone.number}, closed" in capsys.readouterr().out
    assert_erased(gone)
    assert Enquiry.objects.get(pk=kept.pk).name == "Nell Sorrel" and past_their_time(on=on) == []


def assert_erased(enquiry: Enquiry) -> None:
    enquiry.refresh_from_db()
    words = [str(Enquiry.objects.filter(pk=enquiry.pk).values().get())]
    words += [str(each) for each in Enquiry.history.filter(id=enquiry.pk).values()]
    words += [str(each) for each in enquiry.answers.values()]
    assert not re.search("nell|sorrel|saturday", " ".join(words), re.IGNORECASE)
    assert enquiry.erased_on and not enquiry.is_open


def test_the_owner_erases_it_at_their_request(client, owner, seller):
    enquiry = make_enquiry()
    client.force_login(owner)
    page = client.post(reverse("shop:enquiry_erase", args=[enquiry.number]), follow=True)
    assert page.status_code == 200
    assert_erased(enquiry)
    with_card = make_enquiry(message="Another")
    Enquiry.objects.filter(pk=with_card.pk).update(person=make.make_person())
    assert client.post(reverse("shop:enquiry_erase", args=[with_card.number])).status_code == 404
    with pytest.raises(Refused):
        erase_enquiry(enquiry=with_card, why="x", by=owner, on=timezone.localdate())


def test_what_was_asked_goes_out_and_goes_away_with_the_card_even_where_nobody_joined_them(owner):
    person, on = make.make_person(name="Nell Sorrel", email="Nell@Sorrel.example"), timezone.localdate()
    enquiry = make_enquiry()
    answer_enquiry(enquiry=enquiry, how="telephone", words="Dear Nell Sorrel", by=owner)
    assert b"enquiries.csv" in export_of(person)
    assert any(enquiry.number in problem.sentence for problem in erasing_problems(person, on=on))
    close_enquiry(enquiry=enquiry, outcome="settled", by=owner, on=on)
    erase_person(person=person, asked_how="letter", asked_on=on, by=owner, on=on)
    words = str([*Enquiry.objects.values(), *Enquiry.history.values(), *EnquiryAnswer.objects.values()])
    assert not re.search("nell|sorrel|saturday", words, re.IGNORECASE)
