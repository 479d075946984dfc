"""One moment of the database, laid out in files beside the backup that is being made.

SQLite is copied by its own means for that (the online backup), while others go on writing. PostgreSQL is
read table by table, in a transaction that sees one moment.
"""

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from itertools import chain
from pathlib import Path

from django.apps import apps
from django.db import connection
from django.db.models import FileField

from shop.backup.manifest import DATABASE, LEFT_EMPTY, Table
from shop.db.open_credit import TABLE as OPEN_CREDIT
from shop.db.search_index import is_of_an_index

Say = Callable[[str], None]


@dataclass(frozen=True)
class Contents:
    database_version: str
    shop: str
    migrations: list[tuple[str, str]]
    tables: dict[str, Table]
    file_names: list[str]  # as the rows have them, in the order of the rows


@dataclass(frozen=True)
class Snapshot:
    """`contents` reads the rows once through, and may do so in another thread while the parts are written."""

    parts: dict[str, Path]  # members of the archive
    contents: Callable[[], Contents]


@contextmanager
def snapshot(place: Path, say: Say) -> Iterator[Snapshot]:
    taken = {"sqlite": _of_sqlite, "postgresql": _of_postgresql}[connection.vendor]
    with taken(place, say) as moment:
        yield moment


def is_ours(table: str) -> bool:
    """Of this program: another's in the same database is left alone, and what is worked out from the rest."""
    labels = (f"{app.label}_" for app in apps.get_app_configs())
    return table.startswith(("django_", *labels)) and not is_worked_out(table)


def is_worked_out(table: str) -> bool:
    """From other tables, by triggers: no backup brings it, and it is filled anew behind one."""
    return table == OPEN_CREDIT or is_of_an_index(table)


def file_columns() -> list[tuple[str, str]]:
    """(table, column) of every file that a row may name."""
    return sorted((table, column) for table, _, column in _file_columns())


def _file_columns() -> list[tuple[str, str, str]]:
    """With the column by which the rows of the table are counted between the two."""
    return sorted(
        (model._meta.db_table, model._meta.pk.column, column.column)
        for model in apps.get_models()
        for column in model._meta.concrete_fields
        if isinstance(column, FileField)
    )


@contextmanager
def _of_sqlite(place: Path, say: Say) -> Iterator[Snapshot]:
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
        if LEFT_EMPTY in _sqlite_tables(database):
            database.execute(f"DELETE FROM {LEFT_EMPTY}")  # noqa: S608 - a name of ours
            database.commit()

    def contents() -> Contents:
        with closing(sqlite3.connect(copy)) as database:
            return _contents(
                [name for name in _sqlite_tables(database) if is_ours(name)],
                lambda table: sqlite_columns(database, table),
                lambda statement: database.execute(statement).fetchall(),
                last_ids=dict(database.execute("SELECT name, seq FROM sqlite_sequence")),
                version=sqlite3.sqlite_version,
            )

    yield Snapshot({DATABASE: copy}, contents)


def _sqlite_tables(database: sqlite3.Connection) -> list[str]:
    found = database.execute("SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name")
    return [name for (name,) in found]


def sqlite_columns(database: sqlite3.Connection, table: str) -> list[str]:
    return [row[1] for row in database.execute(f'PRAGMA table_info("{table}")')]


@contextmanager
def _of_postgresql(place: Path, say: Say) -> Iterator[Snapshot]:
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

        def contents() -> Contents:
            return _contents(
                present,
                lambda table: list(columns[table]),
                asked,
                last_ids=_last_ids(cursor),
                version=str(cursor.connection.info.server_version),
            )

        yield Snapshot(parts, contents)


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


def _file_columns_of(columns: dict[str, list[str]]) -> dict[tuple[str, str], str]:
    """By table and what its rows are counted by, those that are there, so that each is read through once."""
    found: dict[tuple[str, str], list[str]] = {}
    for table, number, column in _file_columns():
        if column in columns.get(table, ()):
            found.setdefault((table, number), []).append(f'"{column}"')
    return {key: ", ".join(listed) for key, listed in found.items()}


def _contents(present, columns_of, asked, *, last_ids, version) -> Contents:
    """`asked` answers a statement with its rows, all at the one moment."""
    columns = {table: columns_of(table) for table in present}

    def counted(table: str) -> int:
        return 0 if table == LEFT_EMPTY else asked(f'SELECT COUNT(*) FROM "{table}"')[0][0]  # noqa: S608

    names: dict[str | None, None] = {}
    for (table, number), listed in _file_columns_of(columns).items():
        rows = asked(f'SELECT {listed} FROM "{table}" ORDER BY "{number}"')  # noqa: S608
        names |= dict.fromkeys(chain.from_iterable(rows))
    profile = asked("SELECT name FROM shop_shopprofile LIMIT 1") if "shop_shopprofile" in columns else []
    migrations = asked("SELECT app, name FROM django_migrations ORDER BY id")
    return Contents(
        database_version=version,
        shop=profile[0][0] if profile else "",
        migrations=[(app, name) for app, name in migrations],
        tables={table: Table(columns[table], counted(table), last_ids.get(table)) for table in present},
        file_names=[name for name in names if name],
    )
