from io import StringIO
from pathlib import Path

import pytest
from django.core.management import CommandError, call_command
from django.db import connection
from django.test.utils import CaptureQueriesContext

from instruments.documents.fingerprint import content_hash
from shop.actions.agreements import agreement_words, keep_agreement, terms_of
from shop.actions.listing import draft_listing, publish_listing
from shop.actions.papers import stored_paper
from shop.db.append_only import remove_guards
from tests import make
from tests.make_recording import make_recording

pytestmark = pytest.mark.django_db


def verify(**options) -> str:
    """What it prints when all is well."""
    told = StringIO()
    call_command("verify", stdout=told, **options)
    return told.getvalue()


def faults(**options) -> str:
    """What it prints when something is wrong; it must end with 1."""
    told = StringIO()
    with pytest.raises(CommandError) as error:
        call_command("verify", stdout=told, **options)
    assert error.value.returncode == 1
    return told.getvalue()


def rewrite(sql: str) -> None:
    """What somebody with the database file and no scruple could do."""
    remove_guards(using="default")
    with connection.cursor() as cursor:
        cursor.execute(sql)


def flip_a_byte(kept) -> None:
    file = Path(kept.path)
    content = bytearray(file.read_bytes())
    content[20] ^= 1
    file.write_bytes(content)


def kept_paper():
    trial = make.make_running_trial()
    with stored_paper(trial.number, b"%PDF-" + b"x" * 40) as stored:
        words = agreement_words(trial, on=make.A_DAY)
        agreed = {"terms": terms_of(trial), "agreement": words, "agreed_hash": content_hash(words)}
        return keep_agreement(trial=trial, stored=stored, by=make.somebody(), **agreed)


def test_a_record_as_it_was_written_is_told_with_its_counts():
    make.make_photo()
    make.make_statement()
    told = verify()
    assert told.startswith("All as it was written.")
    assert "link: 1" in told
    assert "file of a photo: 1" in told


def test_an_empty_record_has_no_faults():
    assert "All as it was written" in verify()


def test_a_changed_statement_is_found_with_its_place():
    statement = make.make_statement()
    rewrite("UPDATE instruments_statement SET text = 'In one family since it was made'")
    place = f"chain of {statement.instrument.stock_number}: statement {statement.pk}"
    assert f"{place} was changed outside the program." in faults()


def test_of_several_chains_the_broken_ones_are_told():
    whole, changed, cut = (make.make_statement() for _ in range(3))
    rewrite(f"UPDATE instruments_statement SET text = 'Another story' WHERE id = {changed.pk}")
    rewrite(f"DELETE FROM instruments_chainlink WHERE row = {cut.pk}")
    numbers = [each.instrument.stock_number for each in (whole, changed, cut)]
    assert faults().splitlines() == [
        f"chain of {numbers[1]}: statement {changed.pk} was changed outside the program.",
        f"chain of {numbers[2]}: statement {cut.pk} was slipped in outside the program.",
    ]


def test_more_instruments_take_no_more_queries(django_assert_max_num_queries):
    make.make_statement()
    with CaptureQueriesContext(connection) as few:
        verify()
    for _ in range(12):
        make.make_statement()
    with django_assert_max_num_queries(len(few)):
        verify()


def test_a_flipped_byte_in_a_photo_is_found():
    photo = make.make_photo()
    flip_a_byte(photo.original)
    assert f"instruments.photo {photo.pk}, {photo.original.name}: the file is not the one" in faults()


def test_a_flipped_byte_in_a_paper_is_found():
    paper = kept_paper()
    flip_a_byte(paper.file)
    assert f"shop.paper {paper.pk}, {paper.file.name}: the file is not the one" in faults()


def test_a_file_that_has_gone_is_found():
    photo = make.make_photo()
    photo.original.storage.delete(photo.original.name)
    assert "the file cannot be read" in faults()


def test_a_missing_public_picture_is_found():
    photo = make.make_photo()
    photo.page.storage.delete(photo.page.name)
    assert "the page picture is missing" in faults()


def test_changed_words_of_a_publication_are_found():
    instrument = make.make_instrument()
    make.make_price(instrument=instrument)
    make.make_photo(instrument=instrument)
    published = publish_listing(
        listing=draft_listing(instrument=instrument, by=make.somebody()), by=make.somebody()
    )
    rewrite("UPDATE shop_publication SET words = '{}'")
    assert f"shop.publication {published.pk}: its words are not those" in faults()


def test_each_fault_is_one_line():
    make.make_statement()
    flip_a_byte(make.make_photo().original)
    rewrite("UPDATE instruments_statement SET text = 'Another\nstory'")
    assert len(faults().splitlines()) == 2


def test_one_instrument_can_be_looked_at_alone():
    make.make_statement()
    flip_a_byte(make.make_photo().original)
    sound = make.make_photo(instrument=make.make_instrument(stock_number="26-900")).instrument
    assert "file of a photo: 1" in verify(stock=sound.stock_number)


def test_an_unknown_stock_number_is_refused():
    with pytest.raises(CommandError, match="There is no instrument 99-999"):
        call_command("verify", stock="99-999")


def test_a_recording_that_was_changed_or_lost_its_copy_is_found():
    kept, other = make_recording(), make_recording()
    assert "file of a recording: 2" in verify()
    flip_a_byte(kept.original)
    Path(other.copy.path).unlink()
    told = faults()
    assert f"instruments.recording {kept.pk}, {kept.original.name}: the file is not the one" in told
    assert f"instruments.recording {other.pk}, {other.copy.name}: the playable copy is missing." in told
