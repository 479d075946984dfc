import pytest
from django.urls import reverse

from instruments.actions.key_marks import mark_keys
from instruments.calc.compass import is_sharp, parse_keys, pitch_name
from instruments.key_sheets import key_sheet_pdf
from tests import make
from tests.reading import Reading

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(("first_key", "key_count"), [(16, 49), (4, 73), (1, 85), (1, 88), (-8, 97)])
def test_the_sheet_shows_the_strip_and_every_mark_by_its_fault(technician, first_key, key_count):
    piano = make.make_instrument(by=technician, first_key=first_key, key_count=key_count)
    mark_keys(instrument=piano, keys=(40,), fault="sticks", note="since May", by=technician, on=make.A_DAY)
    mark_keys(
        instrument=piano,
        keys=parse_keys("all sharps", first_key, key_count),
        fault="slow_return",
        by=technician,
        on=make.A_DAY,
    )
    read = Reading(key_sheet_pdf(piano, on=make.A_DAY))
    assert f"Sticks since May C4, {41 - first_key} " in read.text
    sharps = [key for key in range(first_key, first_key + key_count) if is_sharp(key)]
    assert [key for key in sharps if f"{pitch_name(key)}, {key - first_key + 1} " not in read.text] == []
    assert read.page_count == 1
    assert ("Figure", "Drawing of the keyboard. Sticks: C4. Slow to return: all sharps.") in read.elements
    assert all(read.fonts.values())


def test_sixty_keys_and_their_faults_take_at_most_two_pages(technician):
    piano = make.make_instrument(by=technician)
    for fault, keys in (
        ("sticks", "all sharps"),
        ("slow_return", "C3-E5"),
        ("chipped", "C4, D4, E4, G4, A5"),
        ("lost_motion", "all"),
    ):
        marked = parse_keys(keys, piano.first_key, piano.key_count)
        mark_keys(instrument=piano, keys=marked, fault=fault, note="seen", by=technician, on=make.A_DAY)
    assert Reading(key_sheet_pdf(piano, on=make.A_DAY)).page_count <= 2


def test_marks_that_differ_all_are_printed_key_by_key(technician):
    piano = make.make_instrument(by=technician)
    for key, note in ((40, "since May"), (52, "since June")):
        mark_keys(instrument=piano, keys=(key,), fault="sticks", note=note, by=technician, on=make.A_DAY)
    text = Reading(key_sheet_pdf(piano, on=make.A_DAY)).text
    assert "C4, key 40 Sticks since May" in text
    assert "C5, key 52 Sticks since June" in text


def test_an_unmarked_keyboard_prints_with_empty_lines(technician):
    piano = make.make_instrument(by=technician)
    read = Reading(key_sheet_pdf(piano, on=make.A_DAY))
    assert "No key is marked" in read.text
    assert read.kinds.count("TR") == 7
    assert read.page_count == 1


def test_the_same_marks_print_the_same_bytes(technician):
    piano = make.make_instrument(by=technician)
    assert key_sheet_pdf(piano, on=make.A_DAY) == key_sheet_pdf(piano, on=make.A_DAY)


def test_the_sheet_opens_from_the_page(client, technician):
    client.force_login(technician)
    piano = make.make_instrument(by=technician)
    answer = client.get(reverse("instruments:key_sheet", args=[piano.stock_number]))
    assert (answer["Content-Type"], answer.content[:5]) == ("application/pdf", b"%PDF-")
