import pytest

from instruments.actions.evidence import record_sightings, retract_evidence
from shop.record import record_of
from tests import make

pytestmark = pytest.mark.django_db


def words_of(instrument, user) -> str:
    return " | ".join(entry.what for entry in record_of(instrument, user=user))


def test_evidence_and_its_taking_back_stand_in_the_record(owner):
    statement = make.make_statement()
    piece = make.make_evidence(statement=statement, note="old wire")
    retract_evidence(evidence=piece, reason="the other piano", by=owner)
    words = words_of(statement.instrument, owner)
    assert "Evidence. For it, weakly: old wire" in words
    assert "Evidence taken back: the other piano" in words


def test_a_tell_tale_seen_stands_in_the_record(owner):
    instrument, row = make.make_instrument(), make.make_tell_tale()
    record_sightings(instrument=instrument, seen=[row], looked_for=[row], by=owner, on=make.A_DAY)
    assert f"Tell-tale. Seen: {row.text}" in words_of(instrument, owner)


def test_a_private_document_stands_in_the_record_only_for_those_who_may_see_it(owner, technician):
    instrument = make.make_instrument()
    make.make_document(instrument=instrument, title="Her letter", seen_by="owner")
    assert "Document put on file: Her letter" in words_of(instrument, owner)
    assert "Her letter" not in words_of(instrument, technician)
