"""The rows of a backup into the tables beside, whichever of the two databases they come from."""

import sqlite3
from collections.abc import Callable, Iterable, Iterator
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

from django.db import connection, transaction

from shop.backup.manifest import LEFT_EMPTY, BadBackup, Manifest, Table, is_retired
from shop.backup.reading import Archive
from shop.backup.snapshots import is_worked_out, postgresql_columns, sqlite_columns

AT_A_TIME = 2_000
NULL = r"\N"
ESCAPES = {"b": "\b", "f": "\f", "n": "\n", "r": "\r", "t": "\t", "v": "\v"}


def copy_into_postgresql(archive: Archive, say) -> None:
    """From a backup of PostgreSQL: its own words, unread."""

    def send(copy, name: str, types: dict[str, str]) -> None:
        for piece in archive.pieces(f"tables/{name}.copy"):
            copy.write(piece)

    _fill_postgresql(archive.manifest, send, say)


def rows_into_postgresql(manifest: Manifest, source: Path, say) -> None:
    """From a backup of SQLite, whose database lies at `source`."""
    with closing(sqlite3.connect(source)) as database:

        def send(copy, name: str, types: dict[str, str]) -> None:
            columns = manifest.tables[name].columns
            ways = [FOR_POSTGRESQL.get(types[column]) for column in columns]
            for row in database.execute(_select(name, columns)):
                copy.write_row(_converted(row, ways))

        _fill_postgresql(manifest, send, say)


def _fill_postgresql(manifest: Manifest, send: Callable, say) -> None:
    """In one transaction: the order of tables does not matter then, all is looked at when it ends."""
    tables = wanted(manifest)
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("SET LOCAL TimeZone = 'UTC'; SET LOCAL DateStyle = 'ISO'")
        for number, (name, table) in enumerate(tables.items(), start=1):
            types = postgresql_columns(cursor, name)
            _refuse_other_columns(name, table, set(types))
            if number % 50 == 0:
                say(f"Writing the database, table {number} of {len(tables)} ...")
            if name == LEFT_EMPTY:
                continue
            listed = ", ".join(f'"{column}"' for column in table.columns)
            with cursor.copy(f'COPY "{name}" ({listed}) FROM STDIN') as copy:
                send(copy, name, types)
            if table.last_id:
                cursor.execute(
                    "SELECT setval(pg_get_serial_sequence(%s, 'id'), %s)", [f'"{name}"', table.last_id]
                )
    with connection.cursor() as cursor:
        cursor.execute("ANALYZE")


def copy_into_sqlite(archive: Archive, say) -> None:
    """From a backup of PostgreSQL into the SQLite file that the connection stands on."""
    tables = wanted(archive.manifest)
    connection.ensure_connection()
    with connection.constraint_checks_disabled(), transaction.atomic():
        database = connection.connection
        for number, (name, table) in enumerate(tables.items(), start=1):
            _refuse_other_columns(name, table, set(sqlite_columns(database, name)))
            if number % 50 == 0:
                say(f"Writing the database, table {number} of {len(tables)} ...")
            _insert(database, name, table, _lines(archive.pieces(f"tables/{name}.copy")))
    connection.check_constraints()


def _insert(database, name: str, table: Table, lines: Iterable[str]) -> None:
    kinds = {row[1]: row[2].lower() for row in database.execute(f'PRAGMA table_info("{name}")')}
    ways = [FOR_SQLITE.get(kinds[column]) for column in table.columns]
    listed = ", ".join(f'"{column}"' for column in table.columns)
    marks = ", ".join("?" * len(table.columns))
    statement = f'INSERT INTO "{name}" ({listed}) VALUES ({marks})'  # noqa: S608 - names of ours
    rows = [_converted(_values(line), ways) for line in lines]
    database.executemany(statement, rows)
    if table.last_id:
        database.execute("DELETE FROM sqlite_sequence WHERE name = ?", [name])
        database.execute("INSERT INTO sqlite_sequence (name, seq) VALUES (?, ?)", [name, table.last_id])


def refuse_wrong_counts(manifest: Manifest) -> None:
    with connection.cursor() as cursor:
        for name, table in wanted(manifest).items():
            cursor.execute(f'SELECT COUNT(*) FROM "{name}"')  # noqa: S608 - a name of ours
            (count,) = cursor.fetchone()
            if count != table.rows:
                raise BadBackup(
                    f"{name} came out with {count:,} rows, not the {table.rows:,} it was made with."
                )


def wanted(manifest: Manifest) -> dict[str, Table]:
    """Of what was counted the tables that migrations make: older backups of SQLite count its indexes too."""
    return {
        name: table
        for name, table in manifest.tables.items()
        if not is_retired(name) and not is_worked_out(name)
    }


def _refuse_other_columns(name: str, table: Table, present: set[str]) -> None:
    if odd := sorted(set(table.columns) ^ present):
        raise BadBackup(f"The columns of {name} are not those of its migrations, first {odd[0]}.")


def _select(name: str, columns: list[str]) -> str:
    return f'SELECT {", ".join(f"{chr(34)}{column}{chr(34)}" for column in columns)} FROM "{name}"'  # noqa: S608


def _converted(row: Iterable, ways: list[Callable | None]) -> list:
    return [
        way(value) if way is not None and value is not None else value
        for value, way in zip(row, ways, strict=True)
    ]


def _lines(pieces: Iterator[bytes]) -> Iterator[str]:
    rest = b""
    for piece in pieces:
        *whole, rest = (rest + piece).split(b"\n")
        yield from (line.decode() for line in whole)


def _values(line: str) -> list[str | None]:
    """One line of COPY's text form (PostgreSQL's manual, COPY, "Text Format")."""
    return [None if word == NULL else _plain(word) for word in line.split("\t")]


def _plain(word: str) -> str:
    if "\\" not in word:
        return word
    parts = iter(word)
    return "".join(part if part != "\\" else _escaped(next(parts)) for part in parts)


def _escaped(letter: str) -> str:
    return ESCAPES.get(letter, letter)


def _moment(word: str) -> str:
    """As Django writes it into SQLite: in UTC, without saying so."""
    return str(datetime.fromisoformat(word).astimezone(UTC).replace(tzinfo=None))


FOR_SQLITE = {"bool": lambda word: int(word == "t"), "datetime": _moment}
FOR_POSTGRESQL = {
    "boolean": bool,
    "timestamp with time zone": lambda word: f"{word}+00",
    **dict.fromkeys(("text", "character varying"), str),
    "numeric": str,
}
