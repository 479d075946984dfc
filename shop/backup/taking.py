"""Taking a backup while the shop is at work.

Files are settled before a row names them and never change, so the database comes first and then the files
that it names: each is there already. The other way round a row could name what came after.
"""

import os
import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from importlib.metadata import PackageNotFoundError
from importlib.metadata import version as version_of
from pathlib import Path

from django.conf import settings
from django.core.files.storage import FileSystemStorage, default_storage
from django.db import connection
from django.utils import timezone

from shop.backup.manifest import MEDIA, SECRET_KEY, Manifest, refuse_odd_name
from shop.backup.snapshots import Contents, Snapshot, snapshot
from shop.backup.writing import ArchiveWriter, settle, workplace

BETWEEN_WORDS_SECONDS = 2.0


def program_version() -> str:
    try:
        return version_of("wrestplank")
    except PackageNotFoundError:  # run from a folder in which nothing was installed
        return "unknown"


def target_for(asked: Path) -> Path:
    """A folder gets a file named by the moment."""
    if asked.is_dir():
        return asked / f"wrestplank-{timezone.localtime():%Y-%m-%d-%H%M%S}.tar"
    return asked


def take_backup(target: Path, *, say: Callable[[str], None], with_secret_key: bool = False) -> Manifest:
    """Write the whole shop to `target`, which is there when it is whole and on the disk, or not at all.

    Raises FileExistsError for a target that is there, and OSError where the disk does not take it.
    """
    if target.exists():
        raise FileExistsError(f"{target} is there already.")
    with workplace(target.parent) as place:
        writer = ArchiveWriter(place / "archive.tar")
        try:
            contents, there = _add_database(writer, place, say)
            missing = _add_files(writer, contents.file_names, there, say)
            if with_secret_key:
                _add_words(writer, SECRET_KEY, settings.SECRET_KEY.encode(), place)
            manifest = _manifest(contents, writer, missing)
            writer.seal(manifest)
        finally:
            writer.close()
        (place / "archive.tar").rename(target)
        settle(target.parent)
    return manifest


def _add_database(writer: ArchiveWriter, place: Path, say) -> tuple[Contents, set[str]]:
    """With the names of files that may be in the store.

    Nothing of the database is held any more while the files are added, which may take long.
    """
    with snapshot(place, say) as moment, ThreadPoolExecutor(1) as beside:
        told = beside.submit(_contents, moment)
        for name, path in moment.parts.items():
            with path.open("rb") as file:
                writer.add(name, file, path.stat().st_size)
        contents, there = told.result()
    for path in moment.parts.values():
        path.unlink()
    return contents, there


def _contents(moment: Snapshot) -> tuple[Contents, set[str]]:
    contents = moment.contents()
    return contents, _looked_up(contents.file_names)


def _add_files(writer: ArchiveWriter, names: list[str], there: set[str], say) -> list[str]:
    """The names that are not in the store: an erasure takes a file and leaves its name."""
    told = time.monotonic()
    missing = [name for name in names if name not in there]
    for number, name in enumerate((name for name in names if name in there), start=1):
        refuse_odd_name(f"{MEDIA}{name}")
        try:
            with default_storage.open(name, "rb") as file:
                writer.add(f"{MEDIA}{name}", file, file.size)
        except FileNotFoundError:
            missing.append(name)
        if time.monotonic() - told > BETWEEN_WORDS_SECONDS:
            told = time.monotonic()
            say(f"Files: {number:,} of {len(names) - len(missing):,} ...")
    return missing


def _looked_up(names: list[str]) -> set[str]:
    """On a disk the store is looked through once, so that what is gone costs nothing; elsewhere all may be.

    Every name is older than this moment, and so is its file. Raises as refuse_odd_name does.
    """
    for folder in {name[: name.rfind("/") + 1] for name in names}:
        refuse_odd_name(f"{MEDIA}{folder}file")
    if not isinstance(default_storage, FileSystemStorage):
        return set(names)
    root = default_storage.location
    found = set()
    for folder, _, files in os.walk(root):
        before = os.path.relpath(folder, root).replace(os.sep, "/")
        found.update(files if before == "." else (f"{before}/{file}" for file in files))
    return found


def _add_words(writer: ArchiveWriter, name: str, words: bytes, place: Path) -> None:
    path = place / name
    path.touch(mode=0o600)
    path.write_bytes(words)
    with path.open("rb") as file:
        writer.add(name, file, len(words))


def _manifest(contents: Contents, writer: ArchiveWriter, missing: list[str]) -> Manifest:
    return Manifest(
        version=program_version(),
        made_at=timezone.now().isoformat(timespec="seconds"),
        vendor=connection.vendor,
        database_version=contents.database_version,
        shop=contents.shop,
        currency=settings.CURRENCY,
        migrations=contents.migrations,
        tables=contents.tables,
        files=writer.files,
        missing=missing,
    )
