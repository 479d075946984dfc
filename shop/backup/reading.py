"""Reading an archive: looked at whole, to the last byte, before anything is made of it."""

import hashlib
import json
import tarfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from shop.backup.manifest import (
    DATABASE,
    MANIFEST,
    SEAL,
    TABLE,
    BadBackup,
    Entry,
    Manifest,
    manifest_from,
    refuse_odd_name,
)
from shop.backup.writing import PIECE, told_of

LONGEST_WORDS = 512 * PIECE  # of a manifest: a hundred bytes for each of millions of files
NOT_WHOLE = "It is not whole: it breaks off, or was changed on the way."


class Archive:
    """An open backup that was found whole. `manifest` says what is in it."""

    def __init__(self, tar: tarfile.TarFile, members: dict[str, tarfile.TarInfo], manifest: Manifest):
        self.tar, self.members, self.manifest = tar, members, manifest

    def pieces(self, name: str) -> Iterator[bytes]:
        """The content of a member, once more held against its hash as it goes by."""
        digest = hashlib.sha256()
        with self._opened(name) as file:
            while piece := file.read(PIECE):
                digest.update(piece)
                yield piece
        if digest.hexdigest() != self.manifest.files[name].sha256:
            raise BadBackup(f"{name} was changed while it was being read.")

    def _opened(self, name: str) -> BinaryIO:
        return self.tar.extractfile(self.members[name])


@contextmanager
def opened_archive(path: Path, say: Callable[[str], None] = lambda words: None) -> Iterator[Archive]:
    """Raises `BadBackup` with a sentence unless every byte is the one that was written."""
    try:
        with path.open("rb") as raw, tarfile.open(fileobj=raw, mode="r:") as tar:
            archive = _checked(raw, tar, say)
            yield archive
    except (tarfile.TarError, EOFError, OverflowError, UnicodeError) as error:
        raise BadBackup("It is no archive of this program, or it was damaged.") from error
    except FileNotFoundError as error:
        if error.filename != str(path):
            raise
        raise BadBackup("There is no such file.") from error


def _checked(raw: BinaryIO, tar: tarfile.TarFile, say) -> Archive:
    say("Looking at every byte of it ...")
    members: dict[str, tarfile.TarInfo] = {}
    for member in tar:
        refuse_odd_name(member.name)
        if not member.isreg() or member.sparse is not None:
            raise BadBackup(f"It holds something that is no plain file: {member.name!r}.")
        if member.name in members:
            raise BadBackup(f"It holds {member.name!r} twice.")
        members[member.name] = member
    if list(members)[-2:] != [MANIFEST, SEAL]:
        raise BadBackup(NOT_WHOLE if members else "There is nothing in it.")
    _check_seal(raw, tar, members)
    manifest = manifest_from(_words(tar, members[MANIFEST]))
    _check_files(tar, members, manifest.files)
    _check_database(manifest)
    return Archive(tar, members, manifest)


def _check_seal(raw: BinaryIO, tar: tarfile.TarFile, members: dict[str, tarfile.TarInfo]) -> None:
    """Every byte between the contents by its hash; after the seal only the zeros that end a tar."""
    member = members[SEAL]
    try:
        seal = json.loads(_words(tar, member))
        count, sha256 = seal["bytes"], seal["sha256"]
    except (ValueError, KeyError, TypeError) as error:
        raise BadBackup(NOT_WHOLE) from error
    digest, place = hashlib.sha256(), 0
    for each in members.values():
        if each.name in (MANIFEST, SEAL):
            break
        digest.update(_between(raw, place, each.offset_data))
        place = each.offset_data + each.size
    digest.update(_between(raw, place, member.offset))  # the manifest with it
    plain = told_of(SEAL, member.size, member.mtime).tobuf(tarfile.PAX_FORMAT)
    raw.seek(member.offset)
    is_plain = raw.read(len(plain)) == plain and member.offset_data == member.offset + len(plain)
    raw.seek(member.offset_data + member.size)
    rest = raw.read(2 * tarfile.RECORDSIZE)
    is_ended = not rest.strip(b"\0") and len(rest) >= 2 * tarfile.BLOCKSIZE
    is_filled = is_ended and raw.tell() % tarfile.RECORDSIZE == 0
    if (count, sha256) != (member.offset, digest.hexdigest()) or not (is_plain and is_filled):
        raise BadBackup(NOT_WHOLE)


def _between(raw: BinaryIO, first: int, end: int) -> bytes:
    if end - first > LONGEST_WORDS:
        raise BadBackup(NOT_WHOLE)
    raw.seek(first)
    return raw.read(end - first)


def _check_files(tar: tarfile.TarFile, members: dict[str, tarfile.TarInfo], files: dict[str, Entry]) -> None:
    held = set(members) - {MANIFEST, SEAL}
    if odd := sorted(held ^ set(files)):
        raise BadBackup(f"What it holds and what its manifest names differ, first in {odd[0]!r}.")
    for name, entry in files.items():
        digest = hashlib.sha256()
        with tar.extractfile(members[name]) as file:
            while piece := file.read(PIECE):
                digest.update(piece)
        if (members[name].size, digest.hexdigest()) != (entry.size, entry.sha256):
            raise BadBackup(f"{name} is not the file that its manifest describes.")


def _check_database(manifest: Manifest) -> None:
    tables = {found.group(1) for name in manifest.files if (found := TABLE.fullmatch(name))}
    wanted = set() if manifest.vendor == "sqlite" else set(manifest.tables)
    if tables != wanted or (DATABASE in manifest.files) != (manifest.vendor == "sqlite"):
        raise BadBackup("The tables of its database are not all there.")


def _words(tar: tarfile.TarFile, member: tarfile.TarInfo) -> bytes:
    if member.size > LONGEST_WORDS:
        raise BadBackup(NOT_WHOLE)
    with tar.extractfile(member) as file:
        return file.read()
