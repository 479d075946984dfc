"""The shop words its listings itself: with what it may fill in, tried before it counts, and a way back."""

from uuid import uuid4

import pytest

from instruments.problems import Refused
from shop.actions.listing import draft_listing
from shop.actions.listing_voice import order_version, word_sentence
from shop.drafts import drafted, voice_in_use
from shop.models import ListingSentence
from tests import make

pytestmark = pytest.mark.django_db


@pytest.fixture
def desk(client, owner):
    client.force_login(owner)
    return client


@pytest.fixture
def instrument(db):
    ready = make.make_instrument(serial="31447", made="1912~", made_basis="mark", case_finish="waxed")
    draft_listing(instrument=ready, by=make.somebody())
    return ready


SENTENCE = "/terms/listings/sentences/serial/"
ORDER = "/terms/listings/texts/short/"


def send(desk, address: str, **words):
    return desk.post(address, {"form_token": uuid4().hex} | words, follow=True)


def test_a_sentence_of_our_own_is_in_the_next_draft(desk, instrument):
    send(desk, SENTENCE, wording="The maker numbered it $serial.")
    assert "The maker numbered it 31447." in [each.text for each in drafted(instrument).body]


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("Number $price", "cannot fill in $price. It knows: $serial, $where."),
        ("{{ serial }}", "Put in at least one of"),
        ("", "This field is required."),
        ("x" * 301, "at most 300 characters"),
    ],
)
def test_what_it_cannot_say_is_refused_beside_the_field_and_kept(desk, text, fault):
    page = send(desk, SENTENCE, wording=text)
    assert fault in " ".join(page.context["form"].errors["wording"])
    assert page.context["form"]["wording"].value() == text
    assert not ListingSentence.objects.exists()


def test_a_wording_is_tried_without_being_kept(desk, instrument):
    page = send(
        desk, SENTENCE, wording="Its number: $serial.", **{"try": "yes", "of": instrument.stock_number}
    )
    assert '<p class="said">Its number: 31447.</p>' in page.content.decode()
    assert not ListingSentence.objects.exists()


def test_template_syntax_is_said_as_it_stands(desk, instrument):
    page = send(desk, SENTENCE, wording="{{ request }} {% debug %} $serial", **{"try": "yes"})
    assert "{{ request }} {% debug %} 31447" in page.content.decode()


def test_the_way_back_says_it_as_the_house_does(desk, instrument):
    send(desk, SENTENCE, wording="Its number: $serial.")
    desk.post(f"{SENTENCE}back/")
    assert "Serial number 31447." in [each.text for each in drafted(instrument).body]
    assert [row.text for row in ListingSentence.objects.get().history.all()] == [
        "Serial number $serial[, read $where].",
        "Its number: $serial.",
    ]


def test_the_order_is_ours(desk, instrument):
    send(
        desk,
        ORDER,
        **{"case-turn": "1"},
        **{"serial-turn": "2", "faults-turn": "3", "most_characters": "600"},
    )
    assert voice_in_use().versions["short"].order == ("case", "serial", "faults")
    assert [each.code for each in drafted(instrument).short] == ["case", "serial", "never_examined"]


def test_the_faults_cannot_be_left_out_of_a_text_that_stands_alone(desk):
    page = send(desk, ORDER, **{"case-turn": "1"})
    assert "has to stand in it" in str(page.context["form"].non_field_errors())


def test_a_text_without_a_topic_is_refused(desk):
    assert "at least one topic" in str(send(desk, ORDER).context["form"].non_field_errors())


@pytest.mark.parametrize("typed", ["0", "100", "two", "1.5"])
def test_a_topic_that_is_none_is_refused_beside_its_field(desk, typed):
    page = send(desk, ORDER, **{"case-turn": typed}, **{"faults-turn": "1"})
    assert page.context["form"].errors["case-turn"]


def test_a_length_out_of_bounds_is_refused_beside_its_field(desk):
    page = send(desk, ORDER, **{"faults-turn": "1"}, most_characters="79")
    assert "80" in str(page.context["form"].errors["most_characters"])


def test_actions_refuse_what_the_page_refuses(owner):
    with pytest.raises(Refused, match="cannot fill in"):
        word_sentence(code="serial", text="$price", by=owner)
    with pytest.raises(Refused, match="has to stand in it"):
        order_version(version="social", topics=["case"], most_characters=280, by=owner)


def test_the_list_marks_what_is_our_own(desk, owner):
    word_sentence(code="serial", text="Its number: $serial.", by=owner)
    page = desk.get("/terms/listings/").content.decode()
    assert page.count('<span class="mark">our own</span>') == 1


@pytest.mark.parametrize("address", ["/terms/listings/sentences/nothing/", "/terms/listings/texts/nothing/"])
def test_what_is_no_sentence_or_text_is_not_found(desk, address):
    assert desk.get(address).status_code == 404
    assert desk.post(f"{address}back/").status_code == 404


def test_without_a_listing_there_is_nothing_to_try_it_on(desk, db):
    assert "Draft one, and what is worded here" in desk.get(SENTENCE).content.decode()
