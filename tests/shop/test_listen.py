"""Who may hear what, on the public page and side by side; and how loudness is evened."""

import re
from decimal import Decimal

import pytest
from django.conf import settings
from django.urls import reverse

from instruments.actions.recordings import remove_recording
from instruments.calc.levelling import turned_down_db
from instruments.models import Recording
from shop.actions.listing import draft_listing, withdraw_listing
from shop.problems import listing_problems
from tests import make
from tests.make_recording import make_film, make_recording

pytestmark = pytest.mark.django_db


def listed(maker: str, owner, **recording):
    piano = make.make_instrument(maker=maker, by=owner)
    make.make_price(instrument=piano, by=owner)
    make.make_photo(instrument=piano)
    listing = make.put_in_window(draft_listing(instrument=piano, by=owner), by=owner)
    return listing, make_recording(instrument=piano, by=owner, **{"is_public": True} | recording)


def set_loudness(recording, lufs: str) -> None:
    Recording.objects.filter(pk=recording.pk).update(loudness_lufs=Decimal(lufs))


def text(answer) -> str:
    return " ".join(answer.content.decode().split())


def ask(client, *recordings, register: str = "tenor"):
    numbers = [each.instrument.stock_number for each in recordings]
    return client.get(reverse("listen"), {"register": register, "of": numbers})


def test_all_are_turned_down_to_the_quietest_and_none_up():
    levels = [Decimal("-18.25"), Decimal("-30.00"), Decimal("-21.04")]
    assert turned_down_db(levels) == [Decimal("11.8"), Decimal("0.0"), Decimal("9.0")]
    assert turned_down_db([]) == []


def test_a_stranger_hears_what_is_public_on_the_page(client, owner):
    listing, recording = listed("Halden & Rook", owner, remark="Lid open")
    make_film(instrument=listing.instrument, is_public=True)
    make_film(instrument=listing.instrument, title="Not for all", url="https://films.example/private")
    page = text(client.get(listing.get_absolute_url()))
    sound = reverse("listing_sound", args=[listing.slug, recording.pk])
    assert f'src="{sound}"' in page and "Lid open" in page
    assert 'href="https://films.example/waltz" rel="noopener noreferrer external"' in page
    assert "films.example/private" not in page
    part = client.get(sound, headers={"range": "bytes=0-9"})
    assert (part.status_code, part["Content-Length"]) == (206, "10")


@pytest.mark.parametrize("how", ["private", "put away", "withdrawn", "of another"])
def test_a_stranger_hears_nothing_else(client, owner, how):
    listing, recording = listed("Halden & Rook", owner, is_public=how != "private")
    if how == "put away":
        remove_recording(recording=recording, by=owner)
    if how == "withdrawn":
        withdraw_listing(listing=listing, by=owner)
    if how == "of another":
        listing, _ = listed("Wexcombe", owner)
    sound = reverse("listing_sound", args=[listing.slug, recording.pk])
    assert client.get(sound).status_code == 404
    assert sound not in text(client.get(listing.get_absolute_url()))


def test_two_of_the_window_are_heard_side_by_side_with_the_change_stated(client, owner):
    (first, loud), (_, quiet) = listed("Halden & Rook", owner), listed("Wexcombe", owner)
    set_loudness(loud, "-18.20")
    set_loudness(quiet, "-22.40")
    page = text(ask(client, loud, quiet))
    assert "Turned down by 4.2 dB, to be as loud as the quietest." in page
    assert "The quietest of them; not changed." in page
    assert reverse("listing_sound", args=[first.slug, loud.pk]) in page
    assert "/stock/" not in page


def test_a_stranger_is_not_offered_what_is_private(client, owner):
    (_, shown), (_, kept) = listed("Halden & Rook", owner), listed("Wexcombe", owner, is_public=False)
    page = text(ask(client, shown, kept))
    assert "Wexcombe" not in page and "No two pianos are recorded" in page


def test_those_who_work_here_hear_all_of_the_stock_and_no_customers_piano(client, seller, owner):
    here, there = make_recording(), make_recording()
    theirs = make_recording(instrument=make.make_taken_in().instrument)
    client.force_login(seller)
    page = text(ask(client, here, there, theirs))
    for each in (here, there):
        number = each.instrument.stock_number
        assert reverse("instruments:recording_file", args=[number, each.pk, "copy"]) in page
    assert theirs.instrument.stock_number not in page


def test_five_are_too_many_and_one_is_too_few(client, seller):
    five = [make_recording() for _ in range(5)]
    client.force_login(seller)
    page = text(ask(client, *five))
    assert "Four at most can be heard side by side" in page and page.count("data-sound=") == 4
    assert "Choose at least two pianos" in text(ask(client, five[0]))


def test_one_without_a_recording_to_hear_is_named_and_a_stranger_learns_no_more(client, seller, owner):
    (_, one), (_, other) = listed("Halden & Rook", owner), listed("Orlestone", owner)
    (_, kept) = listed("Wexcombe", owner, is_public=False)
    hidden = make_recording(register="soft")
    number = kept.instrument.stock_number
    said = f"Wexcombe, {number}: no recording of “Tenor” to hear yet, so left out."
    page = text(ask(client, one, other, kept, hidden))
    assert said in page
    assert hidden.instrument.stock_number not in page
    client.force_login(seller)
    page = text(ask(client, one, other, hidden))
    assert f"{hidden.instrument.stock_number}: no recording of “Tenor” to hear yet" in page


def test_what_was_recorded_another_way_is_said(client, seller):
    one, other = make_recording(device="One"), make_recording(device="Other", remark="Lid open")
    client.force_login(seller)
    page = text(ask(client, one, other))
    assert "not recorded with the same telephone at the same distance" in page and "Lid open" in page


@pytest.mark.parametrize(
    "query", ["register=kazoo", "of=%00", "of=a&of=b", "register=&of=", "of=" + "9" * 400]
)
def test_nonsense_shows_the_choice_again(client, seller, query):
    make_recording(), make_recording()
    client.force_login(seller)
    answer = client.get(f"{reverse('listen')}?{query}")
    assert answer.status_code == 200 and "data-listen" not in text(answer)


def test_the_instruments_own_page_names_its_recordings(client, seller):
    recording = make_recording(register="soft")
    client.force_login(seller)
    assert "Played softly" in text(client.get(recording.instrument.get_absolute_url()))


DESCRIBED = re.compile(r'<audio [^>]*aria-describedby="(heard-\d+)"')
IN_WORDS = "Middle A struck once, even and mellow."


def words_of_players(page: str) -> list[str]:
    """What stands for each player of the page, read by its id."""
    assert page.count("<audio ") == len(DESCRIBED.findall(page)) > 0
    return [re.search(rf'id="{name}"[^>]*>([^<]*)<', page)[1].strip() for name in DESCRIBED.findall(page)]


def test_who_cannot_hear_reads_how_it_sounds_wherever_it_is_played(client, owner):
    """WCAG 2.2, 1.2.1."""
    (listing, one), (_, other) = (
        listed(maker, owner, sound_words=words)
        for maker, words in (("Halden & Rook", IN_WORDS), ("Castlemere", "Brighter, a little thin."))
    )
    both = [f"In words: {each.sound_words}" for each in (one, other)]
    assert words_of_players(text(client.get(listing.get_absolute_url()))) == both[:1]
    assert sorted(words_of_players(text(ask(client, one, other)))) == sorted(both)
    numbers = {"of": [each.instrument.stock_number for each in (one, other)]}
    assert sorted(words_of_players(text(client.get(reverse("comparison"), numbers)))) == sorted(both)


def test_one_that_was_public_before_says_that_it_is_not_in_words_and_whoever_lists_it_is_told(client, owner):
    listing, recording = listed("Halden & Rook", owner)
    (words,) = words_of_players(text(client.get(listing.get_absolute_url())))
    assert "Nobody has put into words yet how it sounds." in words
    told = [
        each for each in listing_problems(listing.instrument) if "in words how it sounds" in each.sentence
    ]
    assert [each.is_blocker for each in told] == [False] and f"/{recording.pk}/" in told[0].link
    Recording.objects.update(sound_words=IN_WORDS)
    assert not any("in words" in each.sentence for each in listing_problems(listing.instrument))


def test_beside_the_link_to_a_film_stands_what_is_seen_and_heard_and_no_page_plays_one(client, owner):
    """1.2.2, 1.2.3 and 1.2.5 ask of what a page plays: films are links; what is in them is told beside."""
    listing, _ = listed("Halden & Rook", owner)
    make_film(
        instrument=listing.instrument, is_public=True, told="A hand plays <b>slowly</b>.", speech="captioned"
    )
    page = text(client.get(listing.get_absolute_url()))
    assert "A hand plays &lt;b&gt;slowly&lt;/b&gt;." in page and "What is said has captions" in page
    pages = [path.read_text() for path in (settings.BASE_DIR / "templates").rglob("*.html")]
    assert not [each for each in pages if re.search(r"<(video|iframe|embed|object|track)\b", each)]
