"""Before the public hears a recording or is led to a film, it is in words for who cannot hear or see it."""

import pytest
from django.urls import reverse

from instruments.models import Film, Recording
from tests import make
from tests.make_recording import make_recording
from tests.sounds import sound_upload

pytestmark = pytest.mark.django_db
TOKEN = "a" * 32
WORDS = "Middle A struck once, even and mellow."
FILM = {"film-title": "A waltz", "film-url": "https://films.example/a", "form_token": TOKEN}


@pytest.fixture
def bench(client, technician):
    client.force_login(technician)
    return client


@pytest.fixture
def piano(owner):
    return make.make_instrument(maker="Halden & Rook", by=owner)


def send(bench, piano, **said):
    said = {"file": sound_upload(), "register": "tenor", "recorded_on": "2026-03-21"} | said
    page = reverse("instruments:sound", args=[piano.stock_number])
    return bench.post(page, said | {"form_token": TOKEN})


def test_a_recording_for_the_public_is_refused_without_words(bench, piano):
    page = send(bench, piano, is_public="on", remark="Lid open").content.decode()
    assert "Say how it sounds before the public may hear it" in page
    assert 'value="Lid open"' in page and not Recording.objects.exists()


def test_with_its_words_it_is_kept_and_shown_with_them(bench, piano):
    send(bench, piano, is_public="on", sound_words=WORDS)
    recording = Recording.objects.get()
    assert (recording.sound_words, recording.in_words) == (WORDS, WORDS)
    assert (
        f"In words: {WORDS}"
        in bench.get(reverse("instruments:sound", args=[piano.stock_number])).content.decode()
    )


def test_one_that_stays_with_us_needs_none(bench, piano):
    send(bench, piano)
    assert Recording.objects.get().in_words.endswith("Nobody has put into words yet how it sounds.")


def test_one_that_was_ours_goes_to_the_public_only_with_words(bench, piano):
    recording = make_recording(instrument=piano)
    page = reverse("instruments:recording_page", args=[piano.stock_number, recording.pk])
    said = {"register": "tenor", "recorded_on": "2026-03-21", "is_public": "on", "form_token": TOKEN}
    assert "Say how it sounds before the public may hear it" in bench.post(page, said).content.decode()
    recording.refresh_from_db()
    assert not recording.is_public
    bench.post(page, said | {"sound_words": WORDS, "form_token": "b" * 32})
    recording.refresh_from_db()
    assert (recording.is_public, recording.sound_words) == (True, WORDS)


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        ({"film-speech": "none"}, "Say what is seen and heard in it before the public is led to it."),
        ({"film-told": "A hand plays."}, "Say whether anything is said in it."),
        ({"film-told": "x" * 2001, "film-speech": "none"}, "“What is seen and heard in it” is too long"),
    ],
)
def test_a_film_for_the_public_is_refused_without_words(bench, piano, said, sentence):
    add = reverse("instruments:film_add", args=[piano.stock_number])
    page = bench.post(add, FILM | {"film-is_public": "on"} | said).content.decode()
    assert sentence in page
    assert 'value="A waltz"' in page and not Film.objects.exists()


def test_a_film_is_kept_with_what_is_seen_and_heard_in_it(bench, piano):
    add = reverse("instruments:film_add", args=[piano.stock_number])
    told = {"film-told": "A hand plays a waltz.", "film-speech": "captioned", "film-is_public": "on"}
    bench.post(add, FILM | told)
    film = Film.objects.get()
    assert (film.told, film.speech, film.is_public) == ("A hand plays a waltz.", "captioned", True)
    page = bench.get(reverse("instruments:sound", args=[piano.stock_number])).content.decode()
    assert "What is said has captions" in page
