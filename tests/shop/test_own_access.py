import re
from datetime import timedelta

import pytest
from django.core import mail
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from shop.actions.passwords import way_to_a_new_password
from shop.forms.sign_in import WayForm
from shop.models import LogLine, ShopProfile
from shop.views import new_password

PASSWORD, NEW = "quiet-felt-52", "copper-heron-lamp"


class AtOnce:
    """Instead of a thread: the letter goes before the answer, so that a test can read it."""

    def __init__(self, target, args, kwargs, daemon):
        self.run = lambda: target(*args, **kwargs)

    def start(self):
        self.run()


@pytest.fixture
def letters(settings, monkeypatch):
    settings.EMAIL_HOST, settings.DEFAULT_FROM_EMAIL = "mail.example", "shop@sorrel.example"
    monkeypatch.setattr(new_password, "Thread", AtOnce)
    return mail.outbox


def sign_in(client, password=PASSWORD, username="olive"):
    return client.post(reverse("login"), {"username": username, "password": password})


def is_in(client) -> bool:
    return client.get(reverse("shop:own_access")).status_code == 200


def change(client, present=PASSWORD, new=NEW, again=None):
    fields = {"present": present, "new": new, "again": new if again is None else again}
    return client.post(reverse("shop:password_change"), fields)


def test_a_new_password_ends_every_session_but_this_one(client, owner):
    elsewhere = Client()
    sign_in(client), sign_in(elsewhere)
    assert change(client).status_code == 302
    assert is_in(client) and not is_in(elsewhere)
    assert sign_in(Client(), NEW).status_code == 302
    assert LogLine.objects.filter(who=owner, what="Password changed").count() == 1


@pytest.mark.parametrize(
    ("fields", "told"),
    [
        ({"present": "another"}, "is another one"),
        ({"new": "short"}, "at least 12 characters"),
        ({"new": "1234567890123"}, "too common"),
        ({"new": "olive-olive-tarn"}, "too similar"),
        ({"again": "copper-heron-lamq"}, "is another one"),
    ],
)
def test_a_password_that_will_not_do_is_refused_in_words(client, owner, fields, told):
    client.force_login(owner)
    page = change(client, **fields).content.decode()
    assert told in page and NEW not in page
    owner.refresh_from_db()
    assert owner.check_password(PASSWORD)


def test_nobody_guesses_at_a_screen_that_was_left_open(client, owner):
    client.force_login(owner)
    for _ in range(4):
        change(client, present="guess")
    assert "wrong too often" in change(client).content.decode()


def test_signing_out_elsewhere(client, owner):
    elsewhere = Client()
    sign_in(client), sign_in(elsewhere)
    page = client.post(reverse("shop:sessions_end"), follow=True).content.decode()
    assert "Signed out in 1 other place." in page
    assert is_in(client) and not is_in(elsewhere)


def test_the_owner_hands_a_link_by_which_they_choose_a_new_password(client, owner, technician):
    theirs = Client()
    sign_in(theirs, username="tobias")
    client.force_login(owner)
    page = client.post(reverse("shop:staff_way", args=[technician.pk])).content.decode()
    way = re.search(r"http://testserver(/login/new/#[^<]+)<", page)[1]
    assert not is_in(theirs)
    stranger = Client()
    answer = choose(stranger, way)
    assert answer.url == reverse("login") and not is_in(stranger)
    assert sign_in(stranger, NEW, "tobias").status_code == 302
    assert leads_nowhere(choose(Client(), way))
    assert LogLine.objects.filter(who=technician, what__endswith="handed out, by olive").exists()


def choose(client, way: str, new: str = NEW):
    """By the page of the link, as its script or a hand fills it in."""
    return client.post(reverse("password_new"), {"way": way, "new": new, "again": new})


def leads_nowhere(answer) -> bool:
    return answer.status_code == 200 and WayForm.DEAD in answer.content.decode()


def test_the_link_stands_nowhere_afterwards(client, owner, technician):
    client.force_login(owner)
    page = client.post(reverse("shop:staff_way", args=[technician.pk])).content.decode()
    token = re.search(r"/login/new/#([^<]+)<", page)[1]
    assert token not in client.get(reverse("shop:staff_person", args=[technician.pk])).content.decode()
    assert token not in str(list(LogLine.objects.values()))


def test_what_proves_the_link_is_sent_in_no_address(client, owner):
    """A browser keeps what stands after the # to itself; the page takes it from the body and nowhere else."""
    way = way_to_a_new_password(owner)
    assert reverse("password_new") == "/login/new/"
    assert client.get(f"/login/new/{way}/").status_code in {302, 404}
    sent = {"new": NEW, "again": NEW}
    assert client.post(f"{reverse('password_new')}?way={way}", sent).status_code == 200
    owner.refresh_from_db()
    assert owner.check_password(PASSWORD)
    assert choose(client, way).status_code == 302


def test_a_password_that_will_not_do_keeps_the_link(client, owner):
    way = way_to_a_new_password(owner)
    page = choose(client, f"http://testserver/login/new/#{way}", "olive-olive-tarn").content.decode()
    assert way in page and "too similar" in page and "For olive" in page and "olive-olive-tarn" not in page
    assert choose(client, way).status_code == 302


@pytest.mark.parametrize("token", ["x", "MQ.x", "..", "MQ.cq2-0", "9" * 300, "%00", "#", "a#b"])
def test_a_forged_link_leads_nowhere(client, owner, token):
    assert leads_nowhere(choose(client, token))


def test_a_link_dies_with_time_with_a_sign_in_and_with_the_person(client, owner, time_machine):
    way = way_to_a_new_password(owner)
    sign_in(client)
    assert leads_nowhere(choose(Client(), way))
    owner.refresh_from_db()
    way = way_to_a_new_password(owner)
    owner.is_active = False
    owner.save()
    assert leads_nowhere(choose(Client(), way))
    owner.is_active = True
    owner.save()
    time_machine.move_to(timezone.now() + timedelta(hours=4), tick=False)
    assert leads_nowhere(choose(Client(), way))


def test_a_letter_goes_to_who_exists_and_the_page_says_the_same_to_all(client, owner, letters):
    owner.email = "olive@sorrel.example"
    owner.save()
    shop = ShopProfile.current()
    shop.public_address = "https://sorrel.example/window"
    shop.save()
    pages = [
        client.post(reverse("password_forgotten"), {"username": name}, HTTP_X_FORWARDED_HOST="evil.example")
        for name in ("olive", "nobody")
    ]
    bare = [re.sub(r'value="[^"]+"', "", page.content.decode()) for page in pages]
    assert bare[0] == bare[1]
    (letter,) = letters
    assert letter.to == ["olive@sorrel.example"] and "https://sorrel.example/login/new/#" in letter.body


def test_nobody_is_buried_in_letters(client, owner, letters):
    owner.email = "olive@sorrel.example"
    owner.save()
    for _ in range(6):
        client.post(reverse("password_forgotten"), {"username": "olive"})
    assert len(letters) == 3


def test_without_a_mail_server_the_page_says_whom_to_ask(client, db):
    page = client.get(reverse("password_forgotten")).content.decode()
    assert "Ask the owner" in page and "<form" not in page


def test_an_address_for_letters_takes_the_password(client, owner):
    client.force_login(owner)
    client.post(reverse("shop:own_email"), {"email": "o@sorrel.example", "present": "no"})
    owner.refresh_from_db()
    assert owner.email == ""
    client.post(reverse("shop:own_email"), {"email": "o@sorrel.example", "present": PASSWORD})
    owner.refresh_from_db()
    assert owner.email == "o@sorrel.example"
