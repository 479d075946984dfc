import pytest
from django.urls import reverse

from instruments.datings import dating_of
from tests import make

pytestmark = pytest.mark.django_db


@pytest.fixture
def instrument(db):
    """Between an exact mark of 1904 and one of 1912."""
    make.make_serial_mark(serial=20_000, year=1904)
    make.make_serial_mark(serial=40_000, year=1912)
    return make.make_instrument(serial="31 447")


def document(instrument, asserts, dated, **said):
    said = {"text": f"{asserts} {dated}", "grade": "document", "source_note": "an invoice"} | said
    return make.make_statement(instrument=instrument, asserts=asserts, dated=dated, **said)


def page_of(client, user, instrument) -> str:
    client.force_login(user)
    return client.get(reverse("instruments:dating", args=[instrument.stock_number])).content.decode()


def take(client, instrument, made):
    return client.post(
        reverse("instruments:dating_take", args=[instrument.stock_number]), {"made": made}, follow=True
    )


def test_the_range_is_that_of_the_marks_on_either_side(instrument):
    assert dating_of(instrument).years == (1904, 1912)


def test_a_document_narrows_it(instrument):
    document(instrument, "patent", "1907")
    document(instrument, "restrung", "1910", topic="strings")
    found = dating_of(instrument)
    assert (found.years, found.edtf) == ((1907, 1910), "1907/1910")


def test_what_is_only_told_moves_nothing_but_is_shown(instrument):
    make.make_statement(instrument=instrument, asserts="owned", who="the Ardens", dated="1906/1930")
    found = dating_of(instrument)
    assert (found.years, found.told_years) == ((1904, 1912), (1904, 1906))


def test_a_contradicted_statement_bears_on_nothing(instrument):
    wrong = document(instrument, "patent", "1907")
    for note in ("one", "two"):
        make.make_evidence(statement=wrong, side="against", strength="strong", note=note)
    assert dating_of(instrument).supported == ()


def test_each_piece_says_how_it_narrows_the_range(client, technician, instrument):
    document(instrument, "patent", "1907", text="The patent plate")
    page = page_of(client, technician, instrument)
    assert "made between 1907 and 1912 instead of between 1904 and 1912" in page


def test_a_serial_with_letters_is_said_to_be_no_figure(client, technician):
    page = page_of(client, technician, make.make_instrument(serial="B 1²4"))
    assert "is not a plain figure" in page


def test_taking_the_range_sets_date_basis_and_note(client, buyer, instrument):
    document(instrument, "patent", "1907", text="A private word of Mrs Arden")
    client.force_login(buyer)
    take(client, instrument, "1907/1912")
    instrument.refresh_from_db()
    assert (instrument.made, instrument.made_basis) == ("1907/1912", "serial")
    assert "not before 1907" in instrument.made_basis_note and "Arden" not in instrument.made_basis_note


def test_a_range_that_something_seen_contradicts_is_not_taken(client, buyer, instrument):
    document(instrument, "made", "1920", topic="made")
    assert "One of the two is wrong" in page_of(client, buyer, instrument)
    page = take(client, instrument, "1904/1912").content.decode()
    instrument.refresh_from_db()
    assert "something on file contradicts that range" in page and instrument.made == ""


def test_without_a_serial_number_the_basis_is_the_weakest_source(instrument):
    instrument.serial = ""
    document(instrument, "patent", "1907")
    document(instrument, "restrung", "1910", topic="strings", grade="seen")
    assert dating_of(instrument).basis == "document"


def test_a_range_that_changed_meanwhile_is_not_taken(client, buyer, instrument):
    client.force_login(buyer)
    page = take(client, instrument, "1900").content.decode()
    instrument.refresh_from_db()
    assert "has changed since" in page and instrument.made == ""


def test_a_looser_range_is_cautioned_and_says_what_it_replaces(client, buyer):
    make.make_serial_mark(serial=20_000, year=1904)
    make.make_serial_mark(serial=40_000, year=1912)
    dated = make.make_instrument(serial="31 447", made="1907", made_basis="mark")
    page = page_of(client, buyer, dated)
    assert "The date on file says more: 1907" in page
    assert "It replaces: 1907" in page


def test_a_tighter_range_is_offered_without_a_caution(client, buyer, instrument):
    instrument.made, instrument.made_basis = "1900/1920", "style"
    instrument.save()
    page = page_of(client, buyer, instrument)
    assert "says more" not in page and "It replaces: between 1900 and 1920" in page
