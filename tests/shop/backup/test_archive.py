"""An archive is the one that was written, to the last byte, or it is refused in a sentence."""

import io
import random
import tarfile
import zipfile
from contextlib import closing
from dataclasses import replace

import pytest

from shop.backup.manifest import MANIFEST, SEAL, BadBackup, Entry, Manifest, Table, manifest_from
from shop.backup.reading import opened_archive
from shop.backup.writing import ArchiveWriter

CONTENT = {
    "database.sqlite3": b"SQLite, as far as the archive cares" * 40,
    "media/photos/0f.jpg": b"a photograph" * 99,
    "media/papers/1e.pdf": b"",
}


def manifest_of(files: dict[str, Entry]) -> Manifest:
    return Manifest(
        version="0.1.0",
        made_at="2026-11-27T12:00:00+00:00",
        vendor="sqlite",
        database_version="3.53.4",
        shop="Larkrow Pianos",
        currency="GBP",
        migrations=[("shop", "0001_initial")],
        tables={"shop_person": Table(["id", "name"], 3, 4)},
        files=files,
    )


def write(path, content=CONTENT, change=lambda manifest: None):
    with closing(ArchiveWriter(path)) as writer:
        for name, words in content.items():
            writer.add(name, io.BytesIO(words), len(words))
        manifest = manifest_of(writer.files)
        change(manifest)
        writer.seal(manifest)
    return path


@pytest.fixture
def whole(tmp_path):
    return write(tmp_path / "whole.tar")


def refusal(path) -> str:
    with pytest.raises(BadBackup) as refused, opened_archive(path):
        pass
    return str(refused.value)


def packed(path, members) -> str:
    """A tar of the test's own making, and what is said of it."""
    with tarfile.open(path, "w") as tar:
        for told, words in members:
            told.size = len(words)
            tar.addfile(told, io.BytesIO(words))
    return refusal(path)


def test_whole_archive_is_read_back(whole):
    with opened_archive(whole) as archive:
        assert {name: b"".join(archive.pieces(name)) for name in CONTENT} == CONTENT
        assert archive.manifest == manifest_of(archive.manifest.files)
    assert whole.stat().st_mode & 0o077 == 0


def test_any_tar_can_open_it(whole):
    with tarfile.open(whole) as tar:
        assert tar.getnames() == [*CONTENT, MANIFEST, SEAL]


def test_not_one_byte_may_turn(whole):
    good, chance = whole.read_bytes(), random.Random(9)
    places = {*range(0, len(good), 97), *(chance.randrange(len(good)) for _ in range(200)), len(good) - 1}
    for place in places:
        bad = bytearray(good)
        bad[place] ^= 1 << chance.randrange(8)
        whole.write_bytes(bad)
        assert refusal(whole), place


def test_truncated_anywhere_is_refused(whole):
    good = whole.read_bytes()
    for length in range(0, len(good), 211):
        whole.write_bytes(good[:length])
        assert refusal(whole), length


def test_something_behind_its_end_is_refused(whole):
    whole.write_bytes(whole.read_bytes() + b"\0" * 512)
    assert "not whole" in refusal(whole)


def test_foreign_files_are_refused(tmp_path):
    path = tmp_path / "foreign"
    for words in (b"", b"letter", b"\0" * 20480, b"SQLite format 3\0" * 99):
        path.write_bytes(words)
        assert refusal(path)
    with zipfile.ZipFile(path, "w") as pack:
        pack.writestr("manifest.json", "{}")
    assert "no archive" in refusal(path)
    assert "no such file" in refusal(tmp_path / "absent")


@pytest.mark.parametrize(
    "name",
    [
        "../out.jpg",
        "media/../../out.jpg",
        "/etc/passwd",
        "media//x",
        "media/./x",
        "media/",
        "notes.txt",
        "media\\x",
        "tables/Up.copy",
        "media/a\nb",
        "media/x/..",
    ],
)
def test_names_that_lead_elsewhere_are_refused(tmp_path, name):
    """Even where manifest and seal go along with it."""
    path = write(tmp_path / "odd.tar", CONTENT | {name: b"x"})
    assert repr(name) in refusal(path)


@pytest.mark.parametrize("kind", [tarfile.SYMTYPE, tarfile.LNKTYPE, tarfile.DIRTYPE, tarfile.FIFOTYPE])
def test_only_plain_files_are_taken(tmp_path, kind):
    told = tarfile.TarInfo("media/photos/0f.jpg")
    told.type, told.linkname = kind, "/etc/passwd"
    assert "no plain file" in packed(tmp_path / "odd.tar", [(told, b"")])


def test_member_that_comes_twice_is_refused(tmp_path):
    twice = [(tarfile.TarInfo("media/a"), b"1"), (tarfile.TarInfo("media/a"), b"2")]
    assert "twice" in packed(tmp_path / "twice.tar", twice)


def test_renamed_member_is_refused_under_a_seal_made_anew(tmp_path):
    def rename(manifest):
        manifest.files["media/photos/other.jpg"] = manifest.files.pop("media/photos/0f.jpg")

    assert "differ" in refusal(write(tmp_path / "renamed.tar", change=rename))


def test_changed_content_is_refused_under_a_seal_made_anew(tmp_path):
    def change(manifest):
        entry = manifest.files["media/photos/0f.jpg"]
        manifest.files["media/photos/0f.jpg"] = replace(entry, sha256="0" * 64)

    assert "not the file that its manifest describes" in refusal(
        write(tmp_path / "changed.tar", change=change)
    )


@pytest.mark.parametrize(
    ("words", "sentence"),
    [
        (b"{", "cannot be read"),
        (b"[]", "cannot be read"),
        (b'{"program": "Another", "format": 1}', "another program"),
        (b'{"program": "Wrestplank", "format": 2}', "does not know"),
        (b'{"program": "Wrestplank", "format": 1}', "does not say"),
    ],
)
def test_manifest_of_another_kind_is_refused(words, sentence):
    with pytest.raises(BadBackup, match=sentence):
        manifest_from(words)


@pytest.mark.parametrize("name", ["shop_person; DROP TABLE x", 'a"b', "Person"])
def test_tables_and_columns_have_plain_names(name):
    for tables in ({name: Table(["id"], 1)}, {"shop_person": Table(["id", name], 1)}):
        manifest = replace(manifest_of({}), tables=tables)
        with pytest.raises(BadBackup, match="oddly"):
            manifest_from(manifest.to_json())
