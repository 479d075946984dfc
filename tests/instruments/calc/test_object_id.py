"""Source: Object ID, ICOM (icom.museum/en/resources/standards-guidelines/objectid): nine categories."""

import pytest

from instruments.calc.object_id import CATEGORIES, object_id_gaps, object_id_record

KNOWN = {
    "kind": "upright piano",
    "materials": "walnut, iron frame",
    "measurements": "height 122 cm, width 148 cm, depth 62 cm",
    "features": "repaired toe block on the left",
    "date": "about 1912",
    "maker": "Halden & Rook",
    "serial": "31447",
    "serial_read_at": "on the frame",
    "marks": ["pencil on key 1: 3/12"],
}


def test_there_are_nine_categories():
    assert len(CATEGORIES) == 9


def test_a_full_record_has_no_gaps():
    assert object_id_gaps(object_id_record(**KNOWN)) == ()


def test_the_serial_number_goes_with_the_markings():
    marks = object_id_record(**KNOWN)["inscriptions and markings"]
    assert marks == "serial number 31447, on the frame; pencil on key 1: 3/12"


@pytest.mark.parametrize("name", ["title", "subject"])
def test_not_applicable_is_an_answer_for_title_and_subject(name):
    assert object_id_record(**KNOWN)[name] == "not applicable"


def test_not_applicable_is_no_answer_elsewhere():
    assert object_id_gaps(object_id_record(**KNOWN) | {"maker": "Not applicable"}) == ("maker",)


def test_what_is_missing_is_named_in_order():
    assert object_id_gaps({"maker": "Halden & Rook", "measurements": " "}) == CATEGORIES[:-1]
