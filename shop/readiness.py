"""Whether this server can take requests: its database, its store of files, its tables."""

import os
import pkgutil
import shutil
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from django.apps import apps
from django.conf import settings
from django.db import DatabaseError, connection
from django.db.migrations.recorder import MigrationRecorder

from shop import read_only

LEAST_FREE_BYTES = 200 * 1024 * 1024


@dataclass(frozen=True)
class Finding:
    is_well: bool
    words: str  # for whoever runs the shop; strangers are told whether all is well and no more


def findings() -> Iterator[Finding]:
    yield from _database()
    yield _store()
    if why := read_only.reason():
        yield Finding(True, f"Open for reading alone: {why}.")


def _database() -> Iterator[Finding]:
    try:
        with connection.cursor() as cursor:
            cursor.execute("SELECT 1")
        waiting = sorted(
            changes_of_this_version() - MigrationRecorder(connection).applied_migrations().keys()
        )
    except DatabaseError:
        yield Finding(False, "The database does not answer.")
        return
    yield Finding(True, f"The database answers: {_ground()}.")
    if waiting:
        names = ", ".join(f"{app_label} {name}" for app_label, name in waiting[:3])
        yield Finding(False, f"{len(waiting)} changes of the tables wait for `manage.py migrate`: {names}.")
    else:
        yield Finding(True, "The tables are those of this version.")


@cache
def changes_of_this_version() -> frozenset[tuple[str, str]]:
    """App and name of each migration, from the names of their files alone.

    To load them all, as `migrate` does, takes a process longer than all else before its first answer.
    """
    folders = {app.label: str(Path(app.path) / "migrations") for app in apps.get_app_configs()}
    return frozenset(
        (app_label, file.name)
        for app_label, folder in folders.items()
        for file in pkgutil.iter_modules([folder])
        if file.name[0] not in "_~"
    )


def _ground() -> str:
    """What it runs on, by version and by whether it waits for the disk."""
    if connection.vendor != "sqlite":
        asked = ("server_version", "synchronous_commit", "fsync")
        with connection.cursor() as cursor:
            version, commit, fsync = (cursor.execute(f"SHOW {name}").fetchone()[0] for name in asked)
        return f"PostgreSQL {version}, synchronous_commit {commit}, fsync {fsync}"
    with connection.cursor() as cursor:
        (version,) = cursor.execute("SELECT sqlite_version()").fetchone()
        (journal,) = cursor.execute("PRAGMA journal_mode").fetchone()
        (synchronous,) = cursor.execute("PRAGMA synchronous").fetchone()
    waits = ("OFF", "NORMAL", "FULL", "EXTRA")[synchronous]
    mode = connection.settings_dict["OPTIONS"].get("transaction_mode", "DEFERRED")
    return f"SQLite {version}, journal {journal}, synchronous {waits}, transactions {mode}"


def _store() -> Finding:
    folder = Path(settings.MEDIA_ROOT)
    while not folder.exists() and folder != folder.parent:  # it comes with the first file
        folder = folder.parent
    if not os.access(folder, os.R_OK | os.W_OK | os.X_OK):
        return Finding(False, "The store of files cannot be written.")
    free = shutil.disk_usage(folder).free
    words = f"The store of files has {free / 1e9:,.1f} GB free."
    return Finding(free > LEAST_FREE_BYTES, words)
