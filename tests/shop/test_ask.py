"""The form for strangers: what is kept, doubted, and refused in words, and what a robot learns."""

import re
from datetime import timedelta

import pytest
from django.core import signing
from django.db import connection
from django.urls import reverse
from django.utils import timezone

from instruments.actions.history import save_tracked
from shop.actions.enquiries import FROM_ALL, FROM_ONE, TooOften
from shop.actions.listing import draft_listing, withdraw_listing
from shop.asking_marks import new_mark, opened_by
from shop.calc.doubtful import bare_words, doubts
from shop.came_from import address_of
from shop.models import Enquiry, Knock, ShopProfile
from tests import make
from tests.hostile import HOSTILE_TEXTS
from tests.journeys.page_forms import forms_on
from tests.make_enquiry import make_enquiry

pytestmark = pytest.mark.django_db
TYPED = {
    "about": "see",
    "message": "May I come on Saturday?",
    "name": "Nell Sorrel",
    "email": "nell@sorrel.example",
    "telephone": "",
    "trap": "",
}


@pytest.fixture
def listing(owner):
    instrument = make.make_instrument(by=owner)
    make.make_price(instrument=instrument, by=owner)
    make.make_photo(instrument=instrument)
    listing = draft_listing(instrument=instrument, by=owner)
    make.put_in_window(listing, by=owner)
    return listing


def an_old_mark(seconds: int = 30) -> str:
    signer = signing.TimestampSigner(salt="shop.ask")
    then = signing.b62_encode(int(timezone.now().timestamp()) - seconds)
    value = f"a page{seconds}:{then}"
    return f"{value}:{signer.signature(value)}"


def send(client, address=None, *, seconds: int = 30, **typed):
    return client.post(address or reverse("ask"), TYPED | {"form_token": an_old_mark(seconds)} | typed)


def test_what_is_asked_of_a_piano_is_kept_and_waits_for_an_answer(client, listing):
    page = client.get(listing.get_absolute_url()).content.decode()
    address = reverse("ask_about", args=[listing.slug])
    assert f'action="{address}"' in page and "it is erased 12 months after we closed it" in page
    assert send(client, address).url == reverse("ask_thanks")
    enquiry = Enquiry.objects.get()
    assert (enquiry.instrument, enquiry.in_doubt, enquiry.is_open) == (listing.instrument, False, True)
    assert enquiry.number.startswith("E") and "erased 12 months" in enquiry.agreed_to
    assert enquiry.answer_by == timezone.localdate() + timedelta(days=2)


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"email": ""}, "Give an e-mail address or a telephone number"),
        ({"message": ""}, "“Your message” is still empty"),
        ({"message": "W" * 3001}, "at most 3000 characters"),
        ({"name": ""}, "“Your name” is still empty"),
        ({"about": "everything"}, "not among the choices"),
        ({"email": "nell@sorrel\nBcc: all@example.org"}, "Give an e-mail address"),
        ({"telephone": "ring me"}, "Give a telephone number"),
        ({"email": "", "telephone": "01632 960 123", "tell_me": "on"}, "To be told by e-mail"),
        ({"form_token": ""}, "open for very long"),
        ({"form_token": "abc:1:def"}, "open for very long"),
    ],
)
def test_what_cannot_be_kept_is_said_and_what_was_typed_stays(client, typed, sentence):
    page = send(client, **typed).content.decode()
    assert sentence in page and not Enquiry.objects.exists() and not Knock.objects.exists()
    form = next(form for form in forms_on(page, reverse("ask")) if form.method == "post")
    kept = {name: value for name, value in (TYPED | typed).items() if name not in {"form_token", "about"}}
    assert {name: form.typed()[name] for name in form.typed()} == {name: kept[name] for name in form.typed()}


def test_a_page_that_was_open_too_long_is_sent_by_one_more_press(client):
    page = send(client, seconds=90_000).content.decode()
    fresh = re.search(r'name="form_token" value="([^"]+)"', page).group(1)
    assert opened_by(fresh) and send(client, form_token=fresh).url == reverse("ask_thanks")


def test_a_form_shown_again_keeps_the_moment_its_page_was_opened(client):
    mark = an_old_mark(30)
    page = send(client, form_token=mark, message="").content.decode()
    assert f'value="{mark}"' in page


@pytest.mark.parametrize(
    ("typed", "seconds", "reason"),
    [
        ({"trap": "x"}, 30, "people do not see"),
        ({}, 1, "within 4 seconds"),
        ({"message": "http://a.example http://b.example www.c.example"}, 30, "3 links"),
    ],
)
def test_what_a_machine_may_have_sent_is_kept_in_doubt_and_answered_alike(client, typed, seconds, reason):
    real = send(client, message="Another one, of a person")
    answer = send(client, seconds=seconds, **typed)
    assert (answer.status_code, answer.url) == (real.status_code, real.url)
    enquiry = Enquiry.objects.first()
    assert enquiry.in_doubt and reason in enquiry.doubts
    assert list(Enquiry.objects.real()) == [Enquiry.objects.last()]


def test_the_same_words_from_somebody_else_are_doubted_and_from_the_same_person_not():
    make_enquiry(email="a@a.example")
    assert not make_enquiry(
        email="a@a.example", message="Is it still there, and may I come on Saturday"
    ).in_doubt
    assert "same words" in make_enquiry(email="b@b.example").doubts


def test_a_form_pressed_twice_is_kept_once_and_changed_words_are_kept_too(client):
    mark = an_old_mark()
    assert send(client, form_token=mark).url == send(client, form_token=mark).url
    assert Enquiry.objects.count() == Knock.objects.count() == 1
    send(client, form_token=mark, message="And is it heavy?")
    assert Enquiry.objects.count() == 2


def test_too_many_from_one_address_are_refused_in_words_and_others_are_not(client):
    most = FROM_ONE[0][0]
    for turn in range(most):
        assert send(client, message=f"Question {turn}").status_code == 302
    answer = send(client, message="One more")
    assert answer.status_code == 429 and "Nothing is lost" in answer.content.decode()
    assert "One more" in answer.content.decode() and Enquiry.objects.count() == most
    other = client.post(
        reverse("ask"), TYPED | {"form_token": an_old_mark(), "message": "Another"}, REMOTE_ADDR="192.0.2.7"
    )
    assert other.status_code == 302


def test_too_many_from_everywhere_are_refused_and_old_knocks_are_forgotten():
    now, most = timezone.now(), FROM_ALL[0][0]
    Knock.objects.bulk_create(Knock(address_hmac=f"{turn}", at=now) for turn in range(most))
    with pytest.raises(TooOften):
        make_enquiry(at=now)
    make_enquiry(at=now + timedelta(days=1, minutes=1))
    assert Knock.objects.count() == 1


def test_no_address_is_kept(client):
    client.post(reverse("ask"), TYPED | {"form_token": an_old_mark()}, REMOTE_ADDR="192.0.2.77")
    with connection.cursor() as cursor:
        cursor.execute("SELECT * FROM shop_knock")
        assert "192.0.2.77" not in str(cursor.fetchall())
    assert re.fullmatch(r"[0-9a-f]{64}", Knock.objects.get().address_hmac)


@pytest.mark.parametrize(
    ("peer", "said", "address"),
    [
        ("192.0.2.7", "198.51.100.1", "192.0.2.7"),
        ("127.0.0.1", "203.0.113.5, 198.51.100.1", "198.51.100.1"),
        ("127.0.0.1", "nonsense", "127.0.0.1"),
        ("2001:db8:1:2:3::4", "", "2001:db8:1:2::/64"),
        ("", "", ""),
    ],
)
def test_which_address_counts(rf, peer, said, address):
    assert address_of(rf.post("/ask/", REMOTE_ADDR=peer, HTTP_X_FORWARDED_FOR=said)) == address


def test_a_body_that_is_too_large_is_refused_before_it_is_read(client):
    answer = client.post(reverse("ask"), TYPED | {"message": "W" * 1_100_000})
    assert answer.status_code == 413 and not Enquiry.objects.exists()


def test_a_sending_without_the_csrf_token_is_refused(client):
    client.handler.enforce_csrf_checks = True
    assert send(client).status_code == 403 and not Enquiry.objects.exists()


def test_a_piano_that_left_the_window_meanwhile_loses_nobodys_words(client, listing, owner):
    withdraw_listing(listing=listing, by=owner)
    address = reverse("ask_about", args=[listing.slug])
    assert "no longer in the window" in client.get(address).content.decode()
    assert send(client, address).status_code == 302 and Enquiry.objects.get().instrument


@pytest.mark.parametrize("about", ["work", "question"])
def test_it_goes_to_whoever_the_terms_name(client, owner, seller, technician, about):
    profile = ShopProfile(pk=1, enquiries_to=seller, work_enquiries_to=technician)
    save_tracked(profile, by=owner, why="Set up")
    send(client, about=about)
    assert Enquiry.objects.get().handler == {"work": technician, "question": seller}[about]


def test_hostile_words_print_as_words(client, seller):
    client.force_login(seller)
    for turn, text in enumerate(HOSTILE_TEXTS):
        clean = text.replace("\x00", "").encode("utf-8", "replace").decode()
        enquiry = make_enquiry(message=f"{clean} {turn}", name=clean[:120] or "x", seconds=30)
        page = client.get(enquiry.get_absolute_url())
        assert page.status_code == 200
        assert "<img src" not in page.content.decode() and "<b>bold" not in page.content.decode()


def test_doubts_of_plain_figures():
    real = {"seconds": 4, "trap": " ", "texts": ("see www.a.example and http://b.example",)}
    assert doubts(**real, others_with_these_words=0) == ()
    assert len(doubts(seconds=0, trap="x", texts=("[url " * 3,), others_with_these_words=1)) == 4
    assert bare_words("Hello,  WORLD!") == bare_words("hello world")


def test_the_mark_of_a_page_is_ours_alone():
    mark = new_mark()
    assert opened_by(mark).seconds(timezone.now()) <= 1
    nonce, then, signature = mark.split(":")
    assert opened_by(f"{nonce}x:{then}:{signature}") is None
