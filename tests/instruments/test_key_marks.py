from datetime import timedelta

import pytest
from django.db import IntegrityError, transaction

from instruments.actions.key_marks import clear_marks, mark_again, mark_keys
from instruments.key_faults import FAULTS_IN_ORDER, SIGNS, KeyFault
from instruments.key_marks import key_strip_of, mark_entries
from instruments.models import KeyMark, KeyMarkClearing, RecordIsPermanent
from instruments.problems import Blocked
from tests import make

pytestmark = pytest.mark.django_db
ON = make.A_DAY


@pytest.fixture
def piano(technician):
    return make.make_instrument(by=technician)


def mark(piano, by, keys=(40,), fault="sticks", **more):
    return mark_keys(instrument=piano, keys=keys, fault=fault, by=by, on=ON, **more)


def open_keys(piano, fault="sticks") -> list[int]:
    return [each.key for each in piano.key_marks.open().filter(fault=fault)]


def test_every_fault_has_a_sign_of_its_own():
    assert set(FAULTS_IN_ORDER) == set(KeyFault)
    assert len({sign.letter for sign in SIGNS.values()}) == len(KeyFault)


def test_keys_are_marked_with_who_and_when(piano, technician):
    (made,) = mark(piano, technician, note="since the rain").new
    assert (made.key, made.marked_by, made.marked_on, made.note) == (40, technician, ON, "since the rain")


def test_a_key_marked_already_keeps_its_mark(piano, technician):
    mark(piano, technician, keys=(40,))
    again = mark(piano, technician, keys=(40, 41))
    assert ([each.key for each in again.new], again.already) == ([41], [40])
    assert open_keys(piano) == [40, 41]


def test_one_key_may_bear_several_faults(piano, technician):
    mark(piano, technician)
    mark(piano, technician, fault="chipped")
    assert piano.key_marks.open().count() == 2


@pytest.mark.parametrize(
    ("keys", "sentence"),
    [((), "Press at least one key"), ((86,), "There is no key 86 on this keyboard, A0 to A7.")],
)
def test_keys_that_cannot_be_marked_are_refused(piano, technician, keys, sentence):
    with pytest.raises(Blocked, match=sentence):
        mark(piano, technician, keys=keys)


def test_a_second_look_clears_marks_and_says_what_was_found(piano, technician, owner):
    marks = mark(piano, technician, keys=(40, 41, 42)).new
    (cleared,) = clear_marks(marks=marks[:1], by=owner, on=ON, found="falls freely")
    assert (cleared.how, cleared.cleared_by, cleared.found) == ("recheck", owner, "falls freely")
    assert open_keys(piano) == [41, 42]


def test_a_mark_is_cleared_once(piano, technician):
    marks = mark(piano, technician).new
    clear_marks(marks=marks, by=technician, on=ON, found="right")
    with pytest.raises(Blocked, match="somebody else has cleared them"):
        clear_marks(marks=marks, by=technician, on=ON, found="right")
    assert KeyMarkClearing.objects.count() == 1


@pytest.mark.parametrize(
    ("found", "days", "sentence"), [(" ", 0, "Say what was found"), ("right", -1, "cannot be cleared before")]
)
def test_a_clearing_without_words_or_before_its_mark_is_refused(piano, technician, found, days, sentence):
    marks = mark(piano, technician).new
    with pytest.raises(Blocked, match=sentence):
        clear_marks(marks=marks, by=technician, on=ON + timedelta(days=days), found=found)
    assert open_keys(piano) == [40]


def test_a_fault_that_comes_back_is_a_new_mark(piano, technician):
    first = mark(piano, technician).new
    clear_marks(marks=first, by=technician, on=ON, found="right")
    (second,) = mark(piano, technician).new
    assert second.after == first[0].clearing
    assert open_keys(piano) == [40]


def test_marks_cleared_too_soon_are_marked_again_once(piano, technician):
    marks = [*mark(piano, technician, keys=(40, 41)).new, *mark(piano, technician, fault="blocks").new]
    clear_marks(marks=marks, by=technician, on=ON, found="right")
    for _ in range(2):
        mark_again(marks=marks, by=technician, on=ON, note="opened again")
    assert sorted((each.key, each.fault) for each in piano.key_marks.open()) == [
        (40, "blocks"),
        (40, "sticks"),
        (41, "sticks"),
    ]


@pytest.mark.both
def test_the_database_itself_refuses_a_second_open_mark(piano, technician):
    first = mark(piano, technician).new[0]
    clear_marks(marks=[first], by=technician, on=ON, found="right")
    mark(piano, technician)
    row = {"instrument": piano, "key": 40, "fault": "sticks", "marked_on": ON, "marked_by": technician}
    for after in (None, first.clearing):
        with pytest.raises(IntegrityError), transaction.atomic():
            KeyMark.objects.create(**row, after=after)


def test_marks_and_clearings_are_permanent(piano, technician):
    (made,) = mark(piano, technician).new
    (cleared,) = clear_marks(marks=[made], by=technician, on=ON, found="right")
    for row in (made, cleared):
        with pytest.raises(RecordIsPermanent):
            row.save()


def test_the_strip_tells_each_key_as_it_is_read_out(piano, technician):
    mark(piano, technician)
    mark(piano, technician, fault="slow_return")
    keys = {key.key: key for key in key_strip_of(piano).keys}
    assert keys[40].words == "C4, key 40, marked: sticks, slow to return"
    assert keys[41].words == "C♯4, key 41"
    assert [key.is_ghost for key in (keys[85], keys[86])] == [False, True]


def test_the_strip_sums_up_each_fault(piano, technician):
    mark(piano, technician, keys=(40, 41, 42, 52))
    mark(piano, technician, fault="chipped", keys=(1,))
    strip = key_strip_of(piano)
    assert [(line.fault, line.keys) for line in strip.faults] == [("sticks", "C4–D4, C5"), ("chipped", "A0")]
    assert strip.sentence == "Five keys are marked."


def test_a_mark_beyond_a_corrected_compass_stays_on_file_and_out_of_the_strip(piano, technician):
    mark(piano, technician, keys=(85,))
    piano.key_count = 80
    assert key_strip_of(piano).marked == []


def test_the_record_tells_a_marking_and_a_clearing_once_each(piano, technician):
    marks = mark(piano, technician, keys=range(1, 13), note="damp").new
    marks += mark(piano, technician, fault="blocks").new
    clear_marks(marks=marks, by=technician, on=ON, found="Dry again.")
    assert {entry.sentence for entry in mark_entries(piano, most=9)} == {
        "Marked “Sticks”: A0–G♯1. damp",
        "Marked “Blocks”: C4",
        "“Sticks” cleared on a second look: A0–G♯1. Dry again.",
        "“Blocks” cleared on a second look: C4. Dry again.",
    }
