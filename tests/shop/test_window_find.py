"""What a stranger may ask of the window, and what it says to a question it cannot read."""

import re
from datetime import date
from decimal import Decimal

import pytest
from django.utils import timezone

from instruments.actions.tone import set_tone
from shop.models import Listing
from tests import make
from tests.journeys.nonsense import EVERYTHING
from tests.make_recording import make_recording

pytestmark = pytest.mark.django_db


def in_window(maker: str, *, price: int = 180_000, **identity):
    instrument = make.make_instrument(maker=maker, serial=maker, **identity)
    make.make_price(instrument=instrument, amount_minor=price)
    Listing.objects.create(
        instrument=instrument,
        slug=maker.lower(),
        headline=maker,
        state="published",
        first_published_at=timezone.now(),
    )
    return instrument


@pytest.fixture
def window(db):
    in_window("Low", height_cm=Decimal(104), price=90_000, case_wood="painted", stringing="overstrung")
    in_window("Middling", height_cm=Decimal("121.5"), key_count=88, case_wood="walnut", damping="under")
    in_window("Tall", height_cm=Decimal(134), price=480_000, case_wood="walnut", frame="full_iron")
    in_window("Long", kind="grand", length_cm=Decimal(168), price=690_000)


def found(client, **asked) -> list[str]:
    page = client.get("/window/", asked).content.decode()
    return re.findall(r'class="card-name">([^<]+)<', page)


NARROWED = [
    ({}, {"Low", "Middling", "Tall", "Long"}),
    ({"height_to": "121.5"}, {"Low", "Middling"}),
    ({"height_from": "121,5", "height_to": "130"}, {"Middling"}),
    ({"price_to": "1,800"}, {"Low", "Middling"}),
    ({"price_from": "£4,800"}, {"Tall", "Long"}),
    ({"compass": "88"}, {"Middling"}),
    ({"compass": "other"}, set()),
    ({"kind": "grand"}, {"Long"}),
    ({"wood": "walnut"}, {"Middling", "Tall"}),
    ({"build": "overstrung"}, {"Low"}),
    ({"build": "underdamped"}, {"Middling"}),
    ({"build": "iron", "wood": "walnut"}, {"Tall"}),
]


def test_the_window_is_narrowed_by_what_is_asked(stranger, window):
    assert [set(found(stranger, **asked)) for asked, _ in NARROWED] == [names for _, names in NARROWED]


def test_a_tone_can_be_asked_for_and_is_printed_as_a_judgement(stranger, window):
    instrument = in_window("Sung", height_cm=Decimal(120))
    set_tone(instrument=instrument, words=["warm", "singing"], on=date(2026, 11, 3), by=make.somebody())
    assert found(stranger, sounds="warm") == ["Sung"]
    assert found(stranger, sounds="dry") == []
    page = stranger.get(instrument.listing.get_absolute_url()).content.decode()
    assert "To our ear it is warm and singing." in page
    assert "A judgement of 3 November 2026, not a measurement." in page


def test_what_can_be_heard_is_said_and_can_be_asked_for(stranger, window):
    make_recording(instrument=in_window("Heard"), is_public=True)
    assert found(stranger, heard="on") == ["Heard"]
    assert stranger.get("/window/").content.decode().count(">can be heard here<") == 1


def test_the_order_is_the_strangers_to_choose(stranger, window):
    firsts = {"cheapest": "Low", "dearest": "Long", "smallest": "Low", "tallest": "Tall", "newest": "Long"}
    assert {order: found(stranger, order=order)[0] for order in firsts} == firsts


def test_only_woods_that_are_there_are_offered(stranger, window):
    choices = dict(stranger.get("/window/").context["form"].fields["wood"].choices)
    assert set(choices) == {"", "walnut", "painted"}


@pytest.mark.parametrize(
    ("asked", "field", "sentence"),
    [
        ({"height_from": "tall"}, "height_from", "Give a number, such as 122 or 122.5."),
        ({"height_to": "1e9"}, "height_to", "is not a measure of a piano in centimetres"),
        ({"price_from": "cheap"}, "price_from", "“cheap” is not an amount"),
        ({"price_to": "-5"}, "price_to", "An amount cannot be negative."),
        ({"kind": "organ"}, "kind", "“Kind”: that is not among the choices."),
        ({"height_from": "130", "height_to": "120"}, "height_to", "The least height is more than the most"),
        ({"price_from": "900", "price_to": "100"}, "price_to", "The lowest price is above the highest"),
    ],
)
def test_what_cannot_be_read_is_said_beside_its_field_and_kept(stranger, window, asked, field, sentence):
    answer = stranger.get("/window/", asked)
    words = answer.content.decode()
    beside = words[words.index(f'id="id_{field}"') :]
    assert answer.status_code == 200 and sentence in beside[:1200]
    assert all(typed in words for typed in asked.values() if typed != "organ")
    assert 'class="card-name"' in words  # what was understood is still answered


def test_a_question_that_nothing_answers_says_what_to_do(stranger, window):
    words = stranger.get("/window/", {"height_to": "90"}).content.decode()
    assert "No piano here answers to all of that." in words
    assert "Leave one of the questions open" in words and ">Show them all</a>" in words


def test_what_was_asked_stands_above_the_answer_and_the_questions_are_folded_away(stranger, window):
    asked = {
        "kind": "upright",
        "height_to": "121,5",
        "price_from": "900",
        "wood": "walnut",
        "order": "cheapest",
    }
    words = stranger.get("/window/", asked).content.decode()
    said = "Kind Upright, Height to 121.5 cm, Price from £900, Wood and finish Walnut"
    assert f"Asked for: {said}. Change it" in words and '<details class="more-filters">' in words
    assert '<details class="more-filters" open>' in stranger.get("/window/?height_to=90").content.decode()


def test_pianos_left_out_because_nobody_measured_them_are_counted(stranger, window):
    assert "1 more has no measured height." in stranger.get("/window/?height_to=200").content.decode()
    assert "no measured height" not in stranger.get("/window/?price_to=9000").content.decode()


def test_nonsense_in_every_question_is_answered_with_a_page(stranger, window):
    fields = [
        "kind",
        "wood",
        "height_from",
        "height_to",
        "price_from",
        "price_to",
        "compass",
        "build",
        "sounds",
        "heard",
    ]
    fields += ["order", "page"]
    for turn in range(0, len(EVERYTHING), 9):
        asked = {name: EVERYTHING[(turn + at) % len(EVERYTHING)] for at, name in enumerate(fields)}
        answer = stranger.get(
            "/window/", {name: text[:3000] for name, text in asked.items() if _can_be_sent(text)}
        )
        assert answer.status_code == 200


def _can_be_sent(text: str) -> bool:
    return not any("\ud800" <= sign <= "\udfff" for sign in text)


def test_the_list_is_bounded_and_leafed_through_with_the_question_kept(stranger, window, monkeypatch):
    monkeypatch.setattr("shop.views.window.PAGE_SIZE", 2)
    page = stranger.get("/window/?order=cheapest&page=2").content.decode()
    assert "3 to 4 of 4" in page and "order=cheapest&amp;page=1" in page
    assert stranger.get("/window/?page=nonsense").status_code == 200


def test_a_narrowed_list_is_not_indexed_and_names_the_whole_one(stranger, window):
    narrowed, whole = stranger.get("/window/?kind=grand"), stranger.get("/window/")
    for answer, is_indexed in ((narrowed, False), (whole, True)):
        words = answer.content.decode()
        assert ("noindex" not in words) is is_indexed
        assert '<link rel="canonical" href="http://testserver/window/">' in words
