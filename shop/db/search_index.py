"""The index behind a search for words: three letters in a row, wherever they stand.

`migrate` puts it in place each time it ends, like the guards, as SQLite drops a table's triggers whenever a
migration rebuilds the table; then it is filled anew. On SQLite it is an FTS5 table kept by triggers, on
PostgreSQL an index of `pg_trgm`, which the owner of a database may add since version 13. Without that
extension a search finds the same, and reads the whole table for it.
"""

import logging

from django.db import ProgrammingError, connections, transaction
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.utils import NotSupportedError, OperationalError

from instruments.models import Instrument
from instruments.models.searching import index_of
from shop.models import Person

logger = logging.getLogger(__name__)

INDEXED = (Instrument, Person)
COLUMN = "search_text"


def is_of_an_index(table: str) -> bool:
    """On SQLite an index is a table with others beside it, which no migration makes and no backup counts."""
    indexes = {index_of(model._meta.db_table) for model in INDEXED}
    return table in indexes or table.startswith(tuple(f"{index}_" for index in indexes))


def install_search_index(*, using: str, **kwargs) -> None:
    """For `post_migrate`."""
    connection = connections[using]
    for model in INDEXED:
        table = model._meta.db_table
        with connection.cursor() as cursor:
            if table not in connection.introspection.table_names(cursor):
                continue
        if connection.vendor == "postgresql":
            _install_on_postgres(connection, table)
        else:
            if not is_kept(connection, table):
                _install_on_sqlite(connection, table)
            _keep_in_few_pieces(connection, index_of(table))


def is_kept(connection: BaseDatabaseWrapper, table: str) -> bool:
    """Whether all the triggers that keep the index of an SQLite table are there."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT COUNT(*) FROM sqlite_master WHERE name = %s", [index_of(table)])
        has_index = cursor.fetchone()[0]
        cursor.execute("SELECT name FROM sqlite_master WHERE type = 'trigger' AND tbl_name = %s", [table])
        there = {name for (name,) in cursor.fetchall()}
    return bool(has_index) and set(_triggers(table)) <= there


def _install_on_sqlite(connection: BaseDatabaseWrapper, table: str) -> None:
    index = index_of(table)
    with transaction.atomic(using=connection.alias), connection.cursor() as cursor:
        cursor.execute(
            f"CREATE VIRTUAL TABLE IF NOT EXISTS {index} USING fts5("
            f"{COLUMN}, content='{table}', content_rowid='id', tokenize='trigram case_sensitive 1')"
        )
        # Words that are erased leave the file at once, and not when the index is next merged.
        cursor.execute(f"INSERT INTO {index}({index}, rank) VALUES ('secure-delete', 1)")  # noqa: S608
        for name, words in _triggers(table).items():
            cursor.execute(f"DROP TRIGGER IF EXISTS {name}")
            cursor.execute(f"CREATE TRIGGER {name} {words}")
        cursor.execute(f"INSERT INTO {index}({index}) VALUES ('rebuild')")  # noqa: S608


def _keep_in_few_pieces(connection: BaseDatabaseWrapper, index: str) -> None:
    """Each writing adds a piece, and a search looks into all: two of a size become one, and not four."""
    with connection.cursor() as cursor:
        cursor.execute(f"INSERT INTO {index}({index}, rank) VALUES ('automerge', 2)")  # noqa: S608
        cursor.execute(f"INSERT INTO {index}({index}) VALUES ('optimize')")  # noqa: S608


def _triggers(table: str) -> dict[str, str]:
    index = index_of(table)
    add = f"INSERT INTO {index}(rowid, {COLUMN}) VALUES (NEW.id, NEW.{COLUMN});"  # noqa: S608
    drop = f"INSERT INTO {index}({index}, rowid, {COLUMN}) VALUES ('delete', OLD.id, OLD.{COLUMN});"  # noqa: S608
    return {
        f"{index}_added": f"AFTER INSERT ON {table} BEGIN {add} END",
        f"{index}_removed": f"AFTER DELETE ON {table} BEGIN {drop} END",
        f"{index}_changed": f"AFTER UPDATE OF {COLUMN} ON {table} BEGIN {drop} {add} END",
    }


def _install_on_postgres(connection: BaseDatabaseWrapper, table: str) -> None:
    try:
        with transaction.atomic(using=connection.alias), connection.cursor() as cursor:
            cursor.execute("CREATE EXTENSION IF NOT EXISTS pg_trgm")
            cursor.execute(
                f"CREATE INDEX IF NOT EXISTS {index_of(table)} ON {table} USING gin ({COLUMN} gin_trgm_ops)"
                " WITH (fastupdate = off)"
            )
            _put_in_order_at_once(cursor, index_of(table))
    except (ProgrammingError, NotSupportedError, OperationalError) as error:
        logger.warning("No index for searching %s: the extension pg_trgm cannot be added. %s", table, error)


def _put_in_order_at_once(cursor, index: str) -> None:
    """An index made before had a list of what is still to be put in order, which each search read through."""
    cursor.execute("SELECT reloptions FROM pg_class WHERE relname = %s", [index])
    if "fastupdate=off" not in (cursor.fetchone()[0] or ()):
        cursor.execute(f"ALTER INDEX {index} SET (fastupdate = off)")
        cursor.execute("SELECT gin_clean_pending_list(%s::regclass)", [index])
