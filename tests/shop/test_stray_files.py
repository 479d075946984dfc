"""Files that a killed program left behind are found and removed; what a record names stays."""

import os
import time
from datetime import timedelta
from io import StringIO

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.core.management import CommandError, call_command

from instruments.models import Document
from shop.models import Erasure, Removal
from shop.stray_files import stray_files
from tests import make

pytestmark = pytest.mark.django_db
STRAY = "originals/left-behind.jpg"


@pytest.fixture
def stray(media_root):
    default_storage.save(STRAY, ContentFile(b"x" * 2048))
    lain_since(media_root / STRAY, hours=2)


def lain_since(path, *, hours: int) -> None:
    then = time.time() - hours * 3600
    os.utime(path, (then, then))


def command(*given) -> str:
    out = StringIO()
    call_command("stray_files", *given, stdout=out)
    return out.getvalue()


def test_before_anything_was_stored_there_is_nothing_to_find():
    assert command() == "Every file is named by a record.\n"


def test_file_that_no_record_names_is_listed_and_left(stray):
    assert STRAY in command()
    assert "1 file, 2.0\xa0KB that no record names" in command()
    assert default_storage.exists(STRAY)


def test_file_that_no_record_names_is_removed_when_asked_for(stray):
    assert "1 file, 2.0\xa0KB removed." in command("--remove")
    assert not default_storage.exists(STRAY)
    assert command("--remove") == "Every file is named by a record.\n"


def test_young_file_may_wait_for_its_record(stray, media_root):
    lain_since(media_root / STRAY, hours=0)
    command("--remove")
    assert default_storage.exists(STRAY)
    command("--remove", "--minutes", "0")
    assert not default_storage.exists(STRAY)


def test_whatever_a_record_names_is_no_stray():
    instrument = make.make_instrument()
    make.make_photo(instrument=instrument)
    make.make_document(instrument=instrument)
    make.make_lead_photo(lead=make.make_lead())
    make.make_running_trial()
    assert list(stray_files(older_than=timedelta())) == []


def test_file_of_an_erased_record_is_a_stray_where_the_program_was_cut_off(seller):
    document = make.make_document(instrument=make.make_instrument())
    erasure = Erasure.objects.create(
        person=make.make_person(), kind="due", erased_on=make.A_DAY, erased_by=seller
    )
    Removal.objects.create(
        erasure=erasure,
        kind=Document._meta.label_lower,
        row=document.pk,
        row_sha256="0" * 64,
        file_sha256=document.sha256,
        removed_on=make.A_DAY,
    )
    assert [each.name for each in stray_files(older_than=timedelta())] == [document.file.name]


def test_minutes_are_a_number():
    with pytest.raises(CommandError, match="0 or more"):
        command("--minutes", "-1")
