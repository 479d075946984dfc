import pytest
from django.db import IntegrityError, transaction

from instruments.actions.statements import add_statement, correct_statement
from instruments.models import Instrument
from instruments.problems import Blocked
from tests.make import make_instrument

pytestmark = pytest.mark.django_db


def told(instrument, by, text="Bought new by her grandfather"):
    return add_statement(instrument=instrument, by=by, text=text, grade="told", told_by="Wilf Arden")


def test_the_words_of_a_statement_are_found_by_the_search(buyer):
    told(make_instrument(), buyer, "Played at the Castlemere assembly rooms")
    assert Instrument.objects.search("castlemere").count() == 1


def test_a_correction_stands_beside_what_it_replaces(buyer):
    first = told(make_instrument(), buyer)
    second = correct_statement(
        statement=first, reason="She meant the aunt", by=buyer, text="Bought by her aunt", grade="seen"
    )
    assert (second.supersedes, first.instrument.statements.count()) == (first, 2)


def test_replaced_words_are_no_longer_found(buyer):
    first = told(make_instrument(), buyer, "A grandfather bought it")
    correct_statement(statement=first, reason="misheard", by=buyer, text="An aunt bought it", grade="seen")
    assert Instrument.objects.search("grandfather").count() == 0


def test_a_statement_is_corrected_only_once(buyer):
    first = told(make_instrument(), buyer)
    correct_statement(statement=first, reason="misheard", by=buyer, text="An aunt", grade="seen")
    with pytest.raises(Blocked, match="corrected already"):
        correct_statement(statement=first, reason="again", by=buyer, text="An uncle", grade="seen")


def test_the_database_wants_a_teller_for_what_is_told(buyer):
    with pytest.raises(IntegrityError), transaction.atomic():
        add_statement(instrument=make_instrument(), by=buyer, text="One owner", grade="told")
