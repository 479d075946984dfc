import os
from types import SimpleNamespace

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.db import IntegrityError, InterfaceError, OperationalError

from instruments import kept_files
from instruments.photos import FILES, stored_photos
from tests.pictures import prepared


def test_stored_file_and_its_folder_have_reached_the_disk(media_root, monkeypatch):
    settled, settle = [], os.fsync
    monkeypatch.setattr(
        os, "fsync", lambda descriptor: settled.append(os.fstat(descriptor)) or settle(descriptor)
    )
    name = default_storage.save("originals/a.jpg", ContentFile(b"bytes"))
    places = [media_root / name, media_root / "originals", media_root, media_root.parent]
    assert [each.st_ino for each in settled] == [place.stat().st_ino for place in places]
    settled.clear()
    default_storage.save("originals/b.jpg", ContentFile(b"bytes"))
    assert len(settled) == 2  # the folders are sure already


@pytest.mark.parametrize(
    ("vendor", "error", "is_left"),
    [
        ("postgresql", OperationalError("the server closed the connection"), True),
        ("postgresql", InterfaceError("connection already closed"), True),
        ("postgresql", IntegrityError("duplicate key"), False),
        ("sqlite", OperationalError("database or disk is full"), False),
    ],
)
@pytest.mark.parametrize("is_kept", [True, False])
def test_file_stays_where_its_row_may_have_been_committed(monkeypatch, vendor, error, is_left, is_kept):
    monkeypatch.setattr(kept_files, "connection", SimpleNamespace(vendor=vendor))
    with pytest.raises(type(error)), kept_files.stored_file("papers/a.pdf", ContentFile(b"x")) as stored:
        if is_kept:
            stored.keep()
        raise error
    with pytest.raises(type(error)), stored_photos([prepared()]) as pictures:
        if is_kept:
            pictures.keep()
        raise error
    names = [stored.fields["file"], *(pictures[0][part] for part in FILES)]
    assert [default_storage.exists(name) for name in names] == [is_left and is_kept] * len(names)
