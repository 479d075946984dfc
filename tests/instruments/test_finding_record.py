from datetime import date

import pytest

from instruments.actions.findings import record_finding
from tests.make import make_instrument

pytestmark = pytest.mark.django_db
THE_DAY = date(2026, 3, 21)


def find(instrument, by, part="hammers", condition="repair", **details):
    return record_finding(instrument=instrument, part=part, condition=condition, by=by, on=THE_DAY, **details)


def test_the_newer_finding_of_a_part_is_the_last_word(technician):
    instrument = make_instrument()
    find(instrument, technician)
    newer = find(instrument, technician, condition="sound", note="refaced")
    assert list(instrument.findings.current()) == [newer]


def test_the_older_finding_stays_on_file(technician):
    instrument = make_instrument()
    older = find(instrument, technician)
    assert find(instrument, technician, condition="sound").supersedes == older


def test_a_finding_leaves_other_parts_alone(technician):
    instrument = make_instrument()
    find(instrument, technician)
    find(instrument, technician, part="strings")
    assert instrument.findings.current().count() == 2


def test_a_third_finding_replaces_the_second(technician):
    instrument = make_instrument()
    second = [find(instrument, technician), find(instrument, technician)][1]
    assert find(instrument, technician).supersedes == second
