import os

from django.core.files.base import ContentFile
from django.core.files.storage import default_storage


def test_stored_file_and_its_folder_have_reached_the_disk(media_root, monkeypatch):
    settled, settle = [], os.fsync
    monkeypatch.setattr(
        os, "fsync", lambda descriptor: settled.append(os.fstat(descriptor)) or settle(descriptor)
    )
    name = default_storage.save("originals/a.jpg", ContentFile(b"bytes"))
    inodes = [(media_root / name).stat().st_ino, (media_root / "originals").stat().st_ino]
    assert [each.st_ino for each in settled] == inodes
