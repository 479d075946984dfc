import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from instruments.actions.key_marks import mark_keys
from instruments.models import KeyMark
from shop.problems import dealing_problems, listing_problems
from tests import make
from tests.pictures import upload

pytestmark = pytest.mark.django_db


@pytest.fixture
def piano(client, technician):
    client.force_login(technician)
    return make.make_instrument(by=technician)


def address(piano, name="keys") -> str:
    return reverse(f"instruments:{name}", args=[piano.stock_number])


def press(client, piano, **fields):
    fields = {"form_token": "a" * 32, "fault": "sticks", "marked_on": "2026-03-22"} | fields
    return client.post(address(piano), fields)


def clear(client, piano, **fields):
    fields = {"form_token": "b" * 32, "found": "falls freely", "cleared_on": "2026-03-22"} | fields
    return client.post(address(piano, "keys_clear"), fields)


def marked(piano) -> list[tuple[int, str]]:
    return [(mark.key, mark.fault) for mark in piano.key_marks.open()]


def test_keys_are_marked_without_script_pressed_and_typed_together(client, piano):
    answer = press(client, piano, key=["40", "41"], typed="E4, 1-2")
    assert answer.url == address(piano)
    assert marked(piano) == [(key, "sticks") for key in (1, 2, 40, 41, 44)]
    assert "Sticks: A0, A♯0, C4, C♯4, E4." in client.get(answer.url).content.decode()


def test_a_key_says_its_name_number_and_marks_to_a_screen_reader(client, piano, technician):
    for fault in ("slow_return", "sticks"):
        mark_keys(instrument=piano, keys=[40], fault=fault, by=technician, on=make.A_DAY)
    page = client.get(address(piano)).content.decode()
    assert "C4, key 40, marked: sticks, slow to return" in page


def test_a_photograph_goes_with_the_marks(client, piano):
    press(client, piano, key=["40"], photos=upload("key.jpg"))
    assert piano.key_marks.get().photo == piano.photos.get()


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"key": ["40"], "fault": ""}, "Choose what is wrong."),
        ({"key": ["40"], "fault": "haunted"}, "is not among the choices"),
        ({}, "Press at least one key, or type which."),
        ({"key": ["999"]}, "is not among the choices"),
        ({"key": ["x" * 3000]}, "is not among the choices"),
        ({"typed": "12-1"}, "runs backwards"),
        ({"typed": "C8"}, "no C8 on this keyboard"),
        ({"key": ["40"], "marked_on": "2999-01-01"}, "That is a day to come."),
        ({"key": ["40"], "note": "x" * 201}, "at most 200 characters"),
    ],
)
def test_what_cannot_be_marked_is_said_and_nothing_is_marked(client, piano, fields, sentence):
    page = press(client, piano, **fields).content.decode()
    assert sentence in page
    assert marked(piano) == []


def test_a_refused_form_keeps_what_was_pressed_and_typed(client, piano):
    page = press(client, piano, key=["40"], typed="H9", fault="chipped").content.decode()
    assert 'value="40" data-name="C4" checked' in page
    assert 'value="chipped" id="fault-chipped" checked' in page
    assert 'value="H9"' in page


def test_the_same_form_sent_twice_marks_once(client, piano):
    for _ in range(2):
        press(client, piano, key=["40"])
    assert KeyMark.objects.count() == 1


def test_marks_are_cleared_singly_and_by_fault(client, piano):
    press(client, piano, typed="C4-E4")
    press(client, piano, typed="C4", fault="chipped", form_token="c" * 32)
    first = piano.key_marks.get(key=42)
    clear(client, piano, marks=[first.pk])
    assert (42, "sticks") not in marked(piano)
    clear(client, piano, faults=["sticks"], form_token="d" * 32)
    assert marked(piano) == [(40, "chipped")]


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({}, "Tick the marks that you looked at again."),
        ({"faults": ["sticks"], "found": ""}, "is still empty"),
        ({"faults": ["sticks"], "cleared_on": "2026-03-01"}, "cannot be cleared before that"),
        ({"faults": ["nonsense"]}, "is not among the choices"),
        ({"marks": ["9" * 40]}, "is not among the choices"),
    ],
)
def test_a_clearing_that_cannot_be_is_said_and_clears_nothing(client, piano, fields, sentence):
    press(client, piano, key=["40"])
    assert sentence in clear(client, piano, **fields).content.decode()
    assert marked(piano) == [(40, "sticks")]


def test_a_mark_of_another_instrument_cannot_be_cleared_here(client, piano, technician):
    other = make.make_instrument(by=technician)
    mark = mark_keys(instrument=other, keys=[40], fault="sticks", by=technician, on=make.A_DAY).new[0]
    clear(client, piano, marks=[mark.pk])
    assert marked(other) == [(40, "sticks")]


@pytest.mark.parametrize(("first_key", "key_count"), [(16, 49), (-8, 97)])
def test_the_page_draws_the_keyboard_of_this_instrument(client, piano, first_key, key_count):
    other = make.make_instrument(first_key=first_key, key_count=key_count)
    page = client.get(address(other)).content.decode()
    assert page.count('name="key"') == key_count
    assert page.count('class="strip-key ghost') == len(
        set(range(1, 89)) - set(range(first_key, first_key + key_count))
    )


def test_the_instrument_page_shows_the_marks(client, piano, technician):
    mark_keys(instrument=piano, keys=range(1, 13), fault="sticks", by=technician, on=make.A_DAY)
    page = client.get(piano.get_absolute_url()).content.decode()
    assert "<strong>Sticks:</strong> A0–G♯1." in page
    assert "Marked “Sticks”: A0–G♯1" in page


def test_the_page_takes_the_same_queries_at_one_and_many_marks(client, piano, technician):
    counts = []
    for keys in ([40], range(1, 80)):
        mark_keys(instrument=piano, keys=keys, fault="sticks", by=technician, on=make.A_DAY)
        client.get(address(piano))
        with CaptureQueriesContext(connection) as seen:
            client.get(address(piano))
        counts.append(len(seen))
    assert counts[0] == counts[1]


def test_the_record_tells_each_mark_and_each_clearing(client, piano):
    press(client, piano, key=["40"], note="since the rain")
    clear(client, piano, faults=["sticks"])
    page = client.get(f"/stock/{piano.stock_number}/record/").content.decode()
    assert "C4: sticks. since the rain" in page
    assert "C4: sticks cleared on a second look: falls freely" in page


def test_whoever_offers_the_piano_is_told_what_is_marked(piano, technician):
    mark_keys(instrument=piano, keys=range(1, 4), fault="sticks", by=technician, on=make.A_DAY)
    sentence = "Marked at the keys and not cleared: sticks at A0–B0."
    for problems in (listing_problems(piano), dealing_problems(piano, act="selling")):
        assert [problem.sentence for problem in problems if "Marked" in problem.sentence] == [sentence]
