"""The files of a backup into the store, each whole under its name or not there."""

import hashlib
import os
import time
from collections.abc import Callable, Iterable
from pathlib import Path

from django.core.files.storage import default_storage

from shop.backup.manifest import MEDIA, Entry
from shop.backup.reading import Archive
from shop.backup.writing import PIECE, settle

BETWEEN_WORDS_SECONDS = 2.0
COMING = ".coming"


def settle_files(archive: Archive, say: Callable[[str], None]) -> Callable[[], None]:
    """Put in place what is not there. A file that is there under the name with another content waits beside
    it; calling what comes back puts those in place too, once the rows that name them stand."""
    waiting: list[tuple[Path, Path]] = []
    folders: set[Path] = set()
    told = time.monotonic()
    for number, (name, entry) in enumerate(archive.manifest.media.items(), start=1):
        path = Path(default_storage.path(name))
        if path.exists() and is_the_same(path, entry):
            continue
        fresh = path.with_name(f"{path.name}{COMING}")
        _write(archive, f"{MEDIA}{name}", fresh)
        if path.exists():
            waiting.append((fresh, path))
        else:
            fresh.rename(path)
        folders.add(path.parent)
        if time.monotonic() - told > BETWEEN_WORDS_SECONDS:
            told = time.monotonic()
            say(f"Files: {number:,} of {len(archive.manifest.media):,} ...")
    for folder in folders:
        settle(folder)
    return lambda: _exchange(waiting)


def is_the_same(path: Path, entry: Entry) -> bool:
    if path.stat().st_size != entry.size:
        return False
    digest = hashlib.sha256()
    with path.open("rb") as file:
        while piece := file.read(PIECE):
            digest.update(piece)
    return digest.hexdigest() == entry.sha256


def remove_files(names: Iterable[str]) -> None:
    """Of the shop that was here: no row names them any more."""
    for name in names:
        default_storage.delete(name)


def _write(archive: Archive, name: str, path: Path) -> None:
    path.parent.mkdir(parents=True, exist_ok=True, mode=0o700)
    path.unlink(missing_ok=True)
    path.touch(mode=0o600)
    with path.open("wb") as file:
        for piece in archive.pieces(name):
            file.write(piece)
        file.flush()
        os.fsync(file.fileno())


def _exchange(waiting: list[tuple[Path, Path]]) -> None:
    for fresh, path in waiting:
        fresh.rename(path)
    for folder in {path.parent for _, path in waiting}:
        settle(folder)
