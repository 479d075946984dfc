"""Bringing a shop back from a backup that was found whole: built beside, then swapped in by one transaction.

Cut off before the swap, the shop is the old one, with perhaps a few files that no row names; cut off after
it, the shop is the new one. Between the two is a single commit of the database. Files never change under
their names, so those of the backup can be put in their places while the old rows still stand.
"""

import os
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from django.conf import settings
from django.db import connection
from django.db.migrations.executor import MigrationExecutor

from shop import read_only
from shop.backup import beside, loading
from shop.backup.files import remove_files, settle_files
from shop.backup.manifest import DATABASE, SECRET_KEY, BadBackup, Manifest
from shop.backup.reading import Archive, opened_archive
from shop.backup.snapshots import file_columns
from shop.backup.writing import settle, workplace
from shop.db.open_credit import install_open_credit
from shop.db.search_index import install_search_index

Say = Callable[[str], None]
WHY = "the shop is being brought back from a backup"
SIGNS_OF_LIFE = ("auth_user", "instruments_instrument", "shop_person")


class NotOver(Exception):
    """There is a shop here already, and nobody has named it."""


@dataclass
class Restored:
    manifest: Manifest
    migrations_to_run: list[str]
    remarks: list[str] = field(default_factory=list)


def restore_backup(source: Path, *, over: str | None, say: Say) -> Restored:
    """Raises `BadBackup` or `NotOver` with a sentence, and then nothing was changed."""
    with opened_archive(source, say) as archive:
        manifest = archive.manifest
        if unknown := beside.unknown_migrations(manifest):
            raise BadBackup(f"It was made by a newer Wrestplank: this one does not know {unknown[0]}.")
        _refuse_over_another(over)
        with _reading_alone(), workplace(Path(settings.DATA_DIR)) as place:
            old_names = _names_in_rows()
            bring = _bring_sqlite if connection.vendor == "sqlite" else _bring_postgresql
            with bring(archive, place, say) as swap:
                put_off = settle_files(archive, say)
                say("The database is swapped ...")
                swap()
            put_off()
            remarks = _bring_secret_key(archive)
            remove_files(old_names - set(manifest.media))
            migrations_to_run = _migrations_to_run()
            if not migrations_to_run:  # else `migrate` puts them in place
                install_search_index(using=connection.alias)
                install_open_credit(using=connection.alias)
        return Restored(manifest, migrations_to_run, remarks)


def _refuse_over_another(over: str | None) -> None:
    name, is_empty = _shop_here()
    if not is_empty and over is None:
        raise NotOver(f"There is a shop here already. To put the backup in its place: --over {name!r}.")
    if not is_empty and over != name:
        raise NotOver(f"The shop here is called {name!r}, not {over!r}.")


def _shop_here() -> tuple[str, bool]:
    with connection.cursor() as cursor:
        present = set(connection.introspection.table_names(cursor))
        if "shop_shopprofile" not in present:
            return "", True
        names = cursor.execute("SELECT name FROM shop_shopprofile LIMIT 1").fetchone()
        lives = any(
            cursor.execute(f"SELECT 1 FROM {table} LIMIT 1").fetchone()  # noqa: S608 - names of ours
            for table in SIGNS_OF_LIFE
        )
    return names[0] if names else "Our shop", not lives


@contextmanager
def _reading_alone() -> Iterator[None]:
    """A failure puts things back as they were; a process that was killed leaves the shop shut for saving."""
    before = read_only.reason()
    read_only.begin(WHY)
    try:
        yield
    finally:
        if before is None or before == WHY:
            read_only.end()
        else:
            read_only.begin(before)


def _names_in_rows() -> set[str]:
    """The files that the rows here name, before the swap."""
    names: set[str] = set()
    with connection.cursor() as cursor:
        present = set(connection.introspection.table_names(cursor))
        for table, column in file_columns():
            if table not in present:
                continue
            described = connection.introspection.get_table_description(cursor, table)
            if column in {each.name for each in described}:
                rows = cursor.execute(f'SELECT "{column}" FROM "{table}"').fetchall()  # noqa: S608
                names |= {name for (name,) in rows if name}
    return names


@contextmanager
def _bring_sqlite(archive: Archive, place: Path, say: Say) -> Iterator[Callable[[], None]]:
    live = Path(connection.settings_dict["NAME"])
    built = place / "built.sqlite3"
    if archive.manifest.vendor == "sqlite":
        _unpack_database(archive, built, say)
        with beside.standing_on(built):
            loading.refuse_wrong_counts(archive.manifest)
    else:
        with beside.standing_on(built):
            beside.build_tables(archive.manifest)
            loading.copy_into_sqlite(archive, say)
            loading.refuse_wrong_counts(archive.manifest)
            beside.put_guards()
    with closing(sqlite3.connect(built)) as database:
        database.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        database.execute("PRAGMA journal_mode=DELETE")
    connection.close()
    yield lambda: beside.swap_sqlite(built, live)


def _unpack_database(archive: Archive, path: Path, say: Say) -> None:
    say("Looking at the database in it ...")
    path.touch(mode=0o600)
    with path.open("wb") as file:
        for piece in archive.pieces(DATABASE):
            file.write(piece)
    try:
        with closing(sqlite3.connect(path)) as database:
            (words,) = database.execute("PRAGMA integrity_check(1)").fetchone()
    except sqlite3.DatabaseError as error:
        raise BadBackup(f"The database in it cannot be read: {error}.") from error
    if words != "ok":
        raise BadBackup(f"The database in it is damaged: {words}.")


@contextmanager
def _bring_postgresql(archive: Archive, place: Path, say: Say) -> Iterator[Callable[[], None]]:
    with beside.standing_in_schema() as usual:
        say("Making the tables ...")
        beside.build_tables(archive.manifest)
        if archive.manifest.vendor == "sqlite":
            _unpack_database(archive, place / DATABASE, say)
            loading.rows_into_postgresql(archive.manifest, place / DATABASE, say)
        else:
            loading.copy_into_postgresql(archive, say)
        loading.refuse_wrong_counts(archive.manifest)
        beside.put_guards()
        yield lambda: beside.swap_schema(usual)


def _bring_secret_key(archive: Archive) -> list[str]:
    if SECRET_KEY not in archive.manifest.files:
        return []
    if os.environ.get("SECRET_KEY"):
        return ["The secret key in it was left alone: SECRET_KEY is set in the environment."]
    path = Path(settings.DATA_DIR) / "secret_key"
    fresh = path.with_name(f"secret_key-{os.getpid()}")
    fresh.touch(mode=0o600)
    fresh.write_bytes(b"".join(archive.pieces(SECRET_KEY)))
    fresh.replace(path)
    settle(path.parent)
    return ["Its secret key is in place; a server that runs wants to be started anew to read it."]


def _migrations_to_run() -> list[str]:
    executor = MigrationExecutor(connection)
    plan = executor.migration_plan(executor.loader.graph.leaf_nodes())
    return [f"{migration.app_label} {migration.name}" for migration, _ in plan]
