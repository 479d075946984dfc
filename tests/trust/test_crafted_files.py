"""Files that ill-wishers send, without a server: each is refused in words or redrawn with nothing left of it.

Against gunicorn, in every field that takes a file: `python -m tests.trust --only 18,19,20`.
"""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from instruments.file_names import shown_file_name
from instruments.photos import PhotoRefused, prepare_photo
from tests.instruments.upload_corpus import bad_files, good_files
from tests.trust.bars_hostile_files import OF_THE_CAMERA
from tests.trust.crafted_files import crafted, mutations

SEEN_ELSEWHERE = {*good_files(), *bad_files()}  # tests/instruments/test_photo_prepare.py
NEW = [file for file in crafted() if file[0] not in SEEN_ELSEWHERE]


def prepared(name: str, body: bytes):
    upload = SimpleUploadedFile("x", body, "image/jpeg")
    upload._name = name  # past Django's own cleaning, as a careless change might let it
    try:
        return prepare_photo(upload)
    except PhotoRefused as refusal:
        assert refusal.sentence.endswith(".")
        return None


@pytest.mark.parametrize(("name", "body"), [file[1:] for file in NEW], ids=[file[0] for file in NEW])
def test_a_crafted_file_is_refused_or_redrawn(name, body):
    if photo := prepared(name, body):
        pictures = photo.thumb_webp + photo.medium_webp + photo.page_webp + photo.print_jpeg
        assert [note for note in OF_THE_CAMERA if note in pictures] == []
        assert "/" not in photo.original_name and "\r" not in photo.original_name


def test_a_changed_file_is_refused_or_redrawn():
    outcomes = [prepared(name, body) is None for _, name, body in mutations(40) if "HEIC" not in name.upper()]
    assert set(outcomes) == {True, False}


def test_there_are_as_many_as_the_bar_asks_for_and_always_the_same():
    assert len(crafted()) >= 60 and len({what for what, *_ in crafted()}) == len(crafted())
    assert list(mutations(20)) == list(mutations(20))
    assert shown_file_name("../../x.jpg") == "x.jpg"
