"""One moment of the database, laid out in files beside the backup that is being made.

SQLite is copied by its own means for that (the online backup), while others go on writing. PostgreSQL is
read table by table, in a transaction that sees one moment.
"""

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path

from django.apps import apps
from django.db import connection
from django.db.models import FileField

from shop.backup.manifest import DATABASE, LEFT_EMPTY, Table

Say = Callable[[str], None]


@dataclass(frozen=True)
class Snapshot:
    database_version: str
    shop: str
    migrations: list[tuple[str, str]]
    tables: dict[str, Table]
    parts: dict[str, Path]  # members of the archive
    file_names: list[str]  # as the rows have them


@contextmanager
def snapshot(place: Path, say: Say) -> Iterator[Snapshot]:
    taken = {"sqlite": _of_sqlite, "postgresql": _of_postgresql}[connection.vendor]
    yield taken(place, say)


def is_ours(table: str) -> bool:
    """Of this program: another's in the same database is left alone."""
    return table.startswith(("django_", *(f"{app.label}_" for app in apps.get_app_configs())))


def file_columns() -> list[tuple[str, str]]:
    """(table, column) of every file that a row may name."""
    return sorted(
        (model._meta.db_table, column.column)
        for model in apps.get_models()
        for column in model._meta.concrete_fields
        if isinstance(column, FileField)
    )


def _of_sqlite(place: Path, say: Say) -> Snapshot:
    say("Copying the database as it stands at this moment ...")
    copy = place / DATABASE
    live = sqlite3.connect(connection.settings_dict["NAME"], timeout=20)
    with closing(live), closing(sqlite3.connect(copy)) as database:
        database.execute("PRAGMA synchronous=OFF")  # it is read once more, and gone then
        live.backup(database)  # in one step: nobody waits for it, and nothing comes between
    with closing(sqlite3.connect(copy)) as database:
        database.execute("PRAGMA synchronous=OFF")
        database.execute("PRAGMA journal_mode=DELETE")
        database.execute("PRAGMA secure_delete=ON")
        present = [name for name in _sqlite_tables(database) if is_ours(name)]
        if LEFT_EMPTY in present:
            database.execute(f"DELETE FROM {LEFT_EMPTY}")  # noqa: S608 - a name of ours
            database.commit()
        return _told(
            present,
            lambda table: sqlite_columns(database, table),
            lambda statement: database.execute(statement).fetchall(),
            last_ids=dict(database.execute("SELECT name, seq FROM sqlite_sequence")),
            parts={DATABASE: copy},
            version=sqlite3.sqlite_version,
        )


def _sqlite_tables(database: sqlite3.Connection) -> list[str]:
    found = database.execute("SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name")
    return [name for (name,) in found]


def sqlite_columns(database: sqlite3.Connection, table: str) -> list[str]:
    return [row[1] for row in database.execute(f'PRAGMA table_info("{table}")')]


def _of_postgresql(place: Path, say: Say) -> Snapshot:
    reader = connection.get_new_connection(connection.get_connection_params())
    with closing(reader), reader.cursor() as cursor:
        cursor.execute("BEGIN ISOLATION LEVEL REPEATABLE READ READ ONLY")
        cursor.execute("SET LOCAL TimeZone = 'UTC'; SET LOCAL DateStyle = 'ISO'")
        cursor.execute("SELECT tablename FROM pg_tables WHERE schemaname = current_schema() ORDER BY 1")
        present = [name for (name,) in cursor.fetchall() if is_ours(name)]
        columns = {table: postgresql_columns(cursor, table) for table in present}
        parts = {}
        for number, table in enumerate(present, start=1):
            if number % 50 == 1:
                say(f"Reading the database, table {number} of {len(present)} ...")
            parts[f"tables/{table}.copy"] = _copied(cursor, table, list(columns[table]), place)

        def asked(statement: str):
            return cursor.execute(statement).fetchall()

        return _told(
            present,
            lambda table: list(columns[table]),
            asked,
            last_ids=_last_ids(cursor),
            parts=parts,
            version=str(cursor.connection.info.server_version),
        )


def postgresql_columns(cursor, table: str) -> dict[str, str]:
    """Each column with its type, in the order in which they stand."""
    cursor.execute(
        "SELECT column_name, data_type FROM information_schema.columns"
        " WHERE table_schema = current_schema() AND table_name = %s ORDER BY ordinal_position",
        [table],
    )
    return dict(cursor.fetchall())


def _copied(cursor, table: str, columns: list[str], place: Path) -> Path:
    """In the text form of COPY, which no version changes; by number, so that quiet backups are alike."""
    path = place / f"{table}.copy"
    listed = ", ".join(f'"{column}"' for column in columns)
    which = " WHERE false" if table == LEFT_EMPTY else ""
    statement = f'COPY (SELECT {listed} FROM "{table}"{which} ORDER BY 1) TO STDOUT'  # noqa: S608
    with path.open("wb") as file, cursor.copy(statement) as pieces:
        for piece in pieces:
            file.write(piece)
    return path


def _last_ids(cursor) -> dict[str, int]:
    cursor.execute(
        "SELECT t.relname, pg_sequence_last_value(s.oid) FROM pg_class s"
        " JOIN pg_depend d ON d.objid = s.oid AND d.deptype IN ('a', 'i')"
        " JOIN pg_class t ON t.oid = d.refobjid"
        " WHERE s.relkind = 'S' AND s.relnamespace = current_schema()::regnamespace"
    )
    return {table: last for table, last in cursor.fetchall() if last is not None}


def _file_columns_of(columns: dict[str, list[str]]) -> dict[str, str]:
    """By table, those that are there, so that each table is read through once."""
    found: dict[str, list[str]] = {}
    for table, column in file_columns():
        if column in columns.get(table, ()):
            found.setdefault(table, []).append(f'"{column}"')
    return {table: ", ".join(listed) for table, listed in found.items()}


def _told(present, columns_of, asked, *, last_ids, parts, version) -> Snapshot:
    """`asked` answers a statement with its rows, all at the one moment."""
    columns = {table: columns_of(table) for table in present}

    def counted(table: str) -> int:
        return 0 if table == LEFT_EMPTY else asked(f'SELECT COUNT(*) FROM "{table}"')[0][0]  # noqa: S608

    names = set()
    for table, listed in _file_columns_of(columns).items():
        for row in asked(f'SELECT {listed} FROM "{table}"'):  # noqa: S608
            names.update(row)
    names -= {"", None}
    profile = asked("SELECT name FROM shop_shopprofile LIMIT 1") if "shop_shopprofile" in columns else []
    migrations = asked("SELECT app, name FROM django_migrations ORDER BY id")
    return Snapshot(
        database_version=version,
        shop=profile[0][0] if profile else "",
        migrations=[(app, name) for app, name in migrations],
        tables={table: Table(columns[table], counted(table), last_ids.get(table)) for table in present},
        parts=parts,
        file_names=sorted(names),
    )
