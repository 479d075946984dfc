"""A second database beside the one in use, with the tables of a backup in it, to be swapped in when whole.

While it is built the program's connection stands on it, so that migrations which speak to "the" database
speak to this one. Its rows are in before the guards are: append-only tables and closed periods refuse
nothing on the way, and stand again before anybody else sees the tables.
"""

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from django.apps import apps
from django.db import connection
from django.db.migrations.executor import MigrationExecutor
from django.db.migrations.loader import MigrationLoader

from shop.backup.loading import wanted
from shop.backup.manifest import RETIRED, BadBackup, Manifest
from shop.backup.snapshots import is_ours
from shop.db.append_only import install_guards
from shop.db.closed_periods import install_period_guards
from shop.db.sqlite.gate import Gate
from workorders.db.order_of_work import install_guards as install_order_guards

SCHEMA = "wrestplank_restoring"
LONGEST_WAIT = "60s"


@contextmanager
def standing_on(path: Path) -> Iterator[None]:
    """The program's SQLite connection on another file, and back."""
    usual = connection.settings_dict["NAME"]
    connection.close()
    connection.settings_dict["NAME"] = str(path)
    try:
        yield
    finally:
        connection.close()
        connection.settings_dict["NAME"] = usual


@contextmanager
def standing_in_schema() -> Iterator[str]:
    """The program's PostgreSQL connection in an empty schema of its own; gives the name of the usual one."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT current_schema()")
        (usual,) = cursor.fetchone()
        cursor.execute(f"DROP SCHEMA IF EXISTS {SCHEMA} CASCADE")
        cursor.execute(f"CREATE SCHEMA {SCHEMA}")
        cursor.execute(f"SET search_path TO {SCHEMA}")
    try:
        yield usual
    finally:
        connection.close()


def unknown_migrations(manifest: Manifest) -> list[str]:
    """Those that this program does not have: the backup is of a newer one."""
    known = MigrationLoader(None).disk_migrations
    ours = {config.label for config in apps.get_app_configs()}
    applied = [(app, name) for app, name in manifest.migrations if app not in RETIRED]
    return [f"{app} {name}" for app, name in applied if app not in ours or (app, name) not in known]


def build_tables(manifest: Manifest) -> None:
    """The tables as they were when the backup was made, by the same migrations, and without a row."""
    executor = MigrationExecutor(connection)
    applied = {(app, name) for app, name in manifest.migrations if app not in RETIRED}
    executor.migrate(_targets(executor.loader, applied))
    with connection.cursor() as cursor:
        present = [name for name in connection.introspection.table_names(cursor) if is_ours(name)]
        if odd := sorted(set(present) ^ set(wanted(manifest))):
            raise BadBackup(f"Its tables are not those of its migrations, first {odd[0]}.")
        if connection.vendor == "postgresql":
            cursor.execute(f"TRUNCATE {', '.join(present)}")
            return
        with connection.constraint_checks_disabled():
            for table in present:
                cursor.execute(f'DELETE FROM "{table}"')  # noqa: S608 - names of ours


def _targets(loader: MigrationLoader, applied: set[tuple[str, str]]) -> list[tuple[str, str]]:
    """Some shops went the long way and some began with a squashed migration; few stopped half-way."""

    def is_done(node: tuple[str, str]) -> bool:
        replacing = loader.replacements.get(node)
        return node in applied or bool(replacing and set(replacing.replaces) <= applied)

    done = [node for node in loader.graph.nodes if is_done(node)]
    through = {name for node in done for name in (node, *_replaced_by(loader, node))}
    if applied <= through:
        return _last(loader, set(done))
    loader.replace_migrations = False
    loader.build_graph()
    return _last(loader, {each for each in loader.graph.nodes if each in applied} - set(loader.replacements))


def _last(loader: MigrationLoader, nodes: set[tuple[str, str]]) -> list[tuple[str, str]]:
    """Those on which none of the others builds; to name one in the middle would mean to go back to it."""
    ways_on = loader.graph.node_map
    return [node for node in nodes if not any(child.key in nodes for child in ways_on[node].children)]


def _replaced_by(loader: MigrationLoader, node: tuple[str, str]) -> list[tuple[str, str]]:
    return loader.replacements[node].replaces if node in loader.replacements else []


def put_guards() -> None:
    install_guards(using="default")
    install_period_guards(using="default")
    install_order_guards(using="default")


def swap_sqlite(beside: Path, live: Path) -> None:
    """The whole database becomes the other in one transaction, under the feet of whoever has it open.

    Exchanging the files would leave a server writing to the old one, and its log beside the new.
    """
    gate = Gate(live)
    gate.take()
    try:
        with closing(sqlite3.connect(beside)) as new, closing(sqlite3.connect(live, timeout=20)) as database:
            database.execute("PRAGMA synchronous=FULL")
            new.backup(database)
    finally:
        gate.close()


def swap_schema(usual: str) -> None:
    """The old tables go and the new ones take their place in one transaction."""
    with connection.cursor() as cursor:
        cursor.execute("BEGIN")
        cursor.execute(f"SET LOCAL lock_timeout = '{LONGEST_WAIT}'")
        there = _apps_in(cursor, usual)
        if old := [name for name in _tables_in(cursor, usual) if is_ours(name) or _is_of(name, there)]:
            cursor.execute(f"DROP TABLE {', '.join(_in(usual, name) for name in old)} CASCADE")
        for name in _tables_in(cursor, SCHEMA):
            cursor.execute(f"ALTER TABLE {_in(SCHEMA, name)} SET SCHEMA {_quoted(usual)}")
        cursor.execute("SELECT proname FROM pg_proc WHERE pronamespace = %s::regnamespace", [SCHEMA])
        for (name,) in cursor.fetchall():
            cursor.execute(f"DROP FUNCTION IF EXISTS {_in(usual, name)}() CASCADE")
            cursor.execute(f"ALTER FUNCTION {_in(SCHEMA, name)}() SET SCHEMA {_quoted(usual)}")
        cursor.execute(f"DROP SCHEMA {SCHEMA} CASCADE")
        cursor.execute("COMMIT")


def _apps_in(cursor, schema: str) -> set[str]:
    """Apps with tables there: a newer program's too, when an older one goes back to its backup."""
    if "django_migrations" not in _tables_in(cursor, schema):
        return set()
    cursor.execute(f"SELECT DISTINCT app FROM {_in(schema, 'django_migrations')}")  # noqa: S608
    return {app for (app,) in cursor.fetchall()}


def _is_of(table: str, there: set[str]) -> bool:
    return table.startswith(tuple(f"{app}_" for app in there))


def _tables_in(cursor, schema: str) -> list[str]:
    cursor.execute("SELECT tablename FROM pg_tables WHERE schemaname = %s ORDER BY 1", [schema])
    return [name for (name,) in cursor.fetchall()]


def _in(schema: str, name: str) -> str:
    return f"{_quoted(schema)}.{_quoted(name)}"


def _quoted(name: str) -> str:
    return connection.ops.quote_name(name)
