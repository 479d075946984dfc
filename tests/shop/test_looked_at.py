"""What the history says of a part that was looked at without being graded."""

from datetime import UTC, date, datetime

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from instruments.actions.evidence import record_sightings
from instruments.actions.findings import record_finding
from instruments.actions.key_marks import mark_keys
from instruments.key_faults import KeyFault
from instruments.library import questions
from instruments.models import TellTale
from instruments.states import Part
from shop.histories import history_of
from shop.looked_at import PART_OF_FAULT, PART_OF_QUESTION, PART_OF_WORK, looks_at
from tests import make
from workorders.library import task_table

NEXT_DAY = date(2026, 6, 2)


@pytest.fixture
def instrument(db):
    make.make_tell_tale()
    return make.make_instrument()


def see(instrument, question: str, on: date = make.A_DAY, most: int = 1) -> None:
    rows = list(TellTale.objects.filter(question=question)[:most])
    record_sightings(instrument=instrument, seen=rows, looked_for=rows, by=make.somebody(), on=on)


def told(instrument) -> dict[str, str]:
    examined = history_of(instrument, today=make.A_DAY).examined
    return {each.part: f"{each.condition}: {each.note}" for each in examined}


def left(instrument) -> tuple[str, ...]:
    return history_of(instrument, today=make.A_DAY).not_examined


def day(on: date) -> str:
    return f"{on:%-d %B %Y}"


def test_every_question_of_the_library_and_every_fault_at_a_key_has_its_part():
    assert {each.code for each in questions()} == set(PART_OF_QUESTION)
    assert set(KeyFault) == set(PART_OF_FAULT)


def test_work_that_counts_is_in_the_library():
    assert set(PART_OF_WORK) <= {row["code"] for row in task_table()}


def test_nothing_looked_at_is_all_not_examined(instrument):
    assert told(instrument) == {}
    assert left(instrument) == tuple(Part.labels)


@pytest.mark.parametrize(
    ("look", "part", "how"),
    [
        (lambda piano: see(piano, "strings"), "Strings", "tell-tales looked for"),
        (lambda piano: see(piano, "moth"), "Moth and woodworm", "tell-tales of moth looked for"),
        (lambda piano: make.make_weighing(instrument=piano), "Keys", "weighed off"),
        (
            lambda piano: make.make_pin_survey(instrument=piano),
            "Wrest pins and plank",
            "turning force measured",
        ),
        (lambda piano: make.make_pitch_survey(instrument=piano), "Strings", "pitch measured"),
        (lambda piano: make.make_wire_survey(instrument=piano), "Strings", "wire measured"),
        (
            lambda piano: mark_keys(
                instrument=piano, keys=[40], fault="lost_motion", by=make.somebody(), on=make.A_DAY
            ),
            "Action frame and rails",
            "faults marked key by key",
        ),
    ],
)
def test_a_part_looked_at_says_how_and_only_the_rest_was_not_examined(instrument, look, part, how):
    look(instrument)
    assert told(instrument) == {part: f"Looked at: {how} on {day(make.A_DAY)}"}
    assert left(instrument) == tuple(label for label in Part.labels if label != part)


def test_finished_work_on_a_part_is_a_look_at_it_and_open_work_is_none(instrument):
    order = make.make_order(instrument=instrument)
    lubricate = make.make_task(code="lubricate-action")
    closed = {"state": "done", "closed_at": datetime(2026, 6, 2, 12, tzinfo=UTC), "result": "moves freely"}
    make.make_item(order=order, task=lubricate, closed_by=make.somebody(), **closed)
    make.make_item(order=order, task=make.make_task(code="restring", name="Restring"), name="Restring")
    assert told(instrument) == {"Action frame and rails": f"Looked at: work finished on {day(NEXT_DAY)}"}
    assert "Strings" in left(instrument)


def test_several_ways_stand_in_one_line_each_with_its_last_day(instrument):
    see(instrument, "strings")
    see(instrument, "strings", on=NEXT_DAY, most=2)
    make.make_pitch_survey(instrument=instrument)
    words = f"tell-tales looked for on {day(NEXT_DAY)}, pitch measured on {day(make.A_DAY)}"
    assert told(instrument) == {"Strings": f"Looked at: {words}"}


def test_a_tell_tale_taken_back_is_no_look(instrument):
    see(instrument, "strings")
    looked_for = list(TellTale.objects.filter(question="strings")[:1])
    record_sightings(instrument=instrument, seen=[], looked_for=looked_for, by=make.somebody(), on=make.A_DAY)
    assert looks_at(instrument) == {} and "Strings" in left(instrument)


def test_what_was_found_of_a_part_goes_before_how_it_was_looked_at(instrument):
    see(instrument, "strings")
    found = {"instrument": instrument, "by": make.somebody(), "on": make.A_DAY}
    record_finding(part="strings", condition="attend", note="rusty in the bass", **found)
    record_finding(part="bridges", condition="not_examined", **found)
    assert told(instrument) == {"Strings": "Attend: rusty in the bass"}
    assert "Bridges" in left(instrument)


def test_more_looks_ask_the_database_no_more(instrument):
    see(instrument, "strings")
    make.make_pin_survey(instrument=instrument)
    with CaptureQueriesContext(
        connection,
    ) as few:
        looks_at(instrument)
    for question in PART_OF_QUESTION:
        see(instrument, question, most=5)
    make.make_pin_survey(instrument=instrument)
    with CaptureQueriesContext(connection) as many:
        looks_at(instrument)
    assert len(few) == len(many) == 7
