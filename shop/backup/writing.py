"""Writing an archive: in one go, hashed as it goes, whole under its name or not there at all."""

import fcntl
import hashlib
import io
import json
import os
import shutil
import tarfile
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import BinaryIO

from shop.backup.manifest import MANIFEST, SEAL, Entry, Manifest

PIECE = 1024 * 1024
WORKPLACE = ".wrestplank-backup-"


class Frame:
    """What stands between the contents, hashed as it is written; each content has a hash of its own."""

    def __init__(self, file: BinaryIO):
        self.file, self.digest, self.count = file, hashlib.sha256(), 0

    def write(self, data: bytes) -> int:
        self.digest.update(data)
        return self.write_content(data)

    def write_content(self, data: bytes | memoryview) -> int:
        self.count += len(data)
        return self.file.write(data)

    def tell(self) -> int:
        return self.count


class ArchiveWriter:
    def __init__(self, path: Path):
        path.touch(mode=0o600, exist_ok=False)  # names and prices of everybody are in it
        self.raw = path.open("wb")
        self.piece = memoryview(bytearray(PIECE))
        self.whole = Frame(self.raw)
        self.tar = tarfile.TarFile(fileobj=self.whole, mode="w", format=tarfile.PAX_FORMAT)
        self.files: dict[str, Entry] = {}
        self.made_at = int(time.time())

    def add(self, name: str, file: BinaryIO, size: int) -> None:
        self.tar.addfile(self._told(name, size))  # its head alone
        digest, begun = hashlib.sha256(), self.whole.count
        # Into one place of memory: a new one for each piece takes longer than the hashing.
        while count := file.readinto(self.piece):
            piece = self.piece[:count]
            digest.update(piece)
            self.whole.write_content(piece)
        if self.whole.count != begun + size:
            raise OSError(f"{name} changed its size while it was read.")
        self.whole.write(bytes(-size % tarfile.BLOCKSIZE))
        self.tar.offset = self.whole.count
        self.files[name] = Entry(size, digest.hexdigest())

    def seal(self, manifest: Manifest) -> None:
        """The manifest, the seal over all that stands between contents, and every byte on the disk."""
        words = manifest.to_json()
        self.tar.addfile(self._told(MANIFEST, len(words)), io.BytesIO(words))
        seal = json.dumps({"bytes": self.whole.count, "sha256": self.whole.digest.hexdigest()}).encode()
        self.tar.addfile(self._told(SEAL, len(seal)), io.BytesIO(seal))
        self.tar.close()
        self.raw.flush()
        os.fsync(self.raw.fileno())

    def close(self) -> None:
        self.raw.close()

    def _told(self, name: str, size: int) -> tarfile.TarInfo:
        return told_of(name, size, self.made_at)


def told_of(name: str, size: int, made_at: int) -> tarfile.TarInfo:
    told = tarfile.TarInfo(name)
    told.size, told.mode, told.mtime = size, 0o600, made_at
    return told


@contextmanager
def workplace(folder: Path) -> Iterator[Path]:
    """A folder of one's own beside the target, gone afterwards; those of runs that were killed go too."""
    for left in folder.glob(f"{WORKPLACE}*"):
        _remove_if_nobody_works_in(left)
    place = Path(tempfile.mkdtemp(prefix=WORKPLACE, dir=folder))
    with (place / "lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        try:
            yield place
        finally:
            shutil.rmtree(place, ignore_errors=True)


def _remove_if_nobody_works_in(place: Path) -> None:
    with suppress(OSError), (place / "lock").open("r+") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        shutil.rmtree(place, ignore_errors=True)


def settle(path: Path) -> None:
    """Wait until the name of a file, or the names in a folder, are on the disk."""
    descriptor = os.open(path, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)
