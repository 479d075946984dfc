import re

import pytest
from django.core.files.storage import default_storage
from django.core.files.uploadedfile import SimpleUploadedFile

from instruments.photos import prepare_photo, store_photo_files, stored_photos
from tests.instruments.upload_corpus import HEIC, encoded, picture


@pytest.fixture
def photo():
    return prepare_photo(SimpleUploadedFile("../../Front <b>.png", encoded(picture(), "PNG")))


def kept_files(media_root) -> list[str]:
    return sorted(path.name for path in media_root.rglob("*") if path.is_file())


def test_files_are_stored_under_generated_names(photo):
    stored = store_photo_files(photo)
    stem = re.fullmatch(r"originals/([0-9a-f]{32})\.png", stored["original"]).group(1)
    assert stored["thumb"] == f"photos/{stem}-thumb.webp"
    assert stored["medium"] == f"photos/{stem}-medium.webp"
    assert stored["page"] == f"photos/{stem}-page.webp"
    assert stored["print"] == f"photos/{stem}-print.jpg"


def test_answer_says_what_a_row_needs(photo):
    stored = store_photo_files(photo)
    assert {
        name: stored[name] for name in ("original_name", "media_type", "width", "height", "taken_on")
    } == {
        "original_name": "Front <b>.png",
        "media_type": "image/png",
        "width": 64,
        "height": 48,
        "taken_on": None,
    }


def test_stored_original_is_the_sent_file_byte_for_byte():
    stored = store_photo_files(prepare_photo(SimpleUploadedFile("IMG_2041.HEIC", HEIC)))
    with default_storage.open(stored["original"]) as kept:
        assert kept.read() == HEIC


def test_stored_files_are_readable_to_the_shop_alone(photo, media_root):
    store_photo_files(photo)
    assert {path.stat().st_mode & 0o077 for path in media_root.rglob("*")} == {0}


def test_files_stay_when_rows_point_at_them(photo, media_root):
    with stored_photos([photo]) as stored:
        stored.keep()
    assert len(kept_files(media_root)) == 5


def test_files_go_again_when_the_block_fails(photo, media_root):
    with pytest.raises(LookupError), stored_photos([photo]) as stored:
        stored.keep()
        raise LookupError("the transaction failed after all")
    assert kept_files(media_root) == []


def test_files_go_again_when_nobody_kept_them(photo, media_root):
    with stored_photos([photo]):
        pass
    assert kept_files(media_root) == []


def test_files_go_again_when_the_disk_fills_half_way(photo, media_root, monkeypatch):
    save = default_storage.save
    monkeypatch.setattr(
        default_storage, "save", lambda name, content: save(name, content) if "page" not in name else full()
    )

    def full():
        raise OSError(28, "No space left on device")

    with pytest.raises(OSError, match="No space"):
        store_photo_files(photo)
    assert kept_files(media_root) == []
