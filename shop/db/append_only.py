"""Guards in the database itself around the records that are only ever added to.

`migrate` puts them in place each time it ends, since SQLite drops a table's triggers whenever a migration
rebuilds the table. They refuse UPDATE and DELETE with an IntegrityError, on SQLite and PostgreSQL alike;
so `flush` is refused too.
"""

from django.apps import apps
from django.db import connections
from django.db.backends.base.base import BaseDatabaseWrapper

from instruments.models import AppendOnly

# PostgreSQL empties a table without deleting its rows one by one, so that is guarded as well.
VERBS = {"sqlite": ("update", "delete"), "postgresql": ("update", "delete", "truncate")}
TRIGGERS = {
    "sqlite": "SELECT tbl_name, name FROM sqlite_master WHERE type = 'trigger'",
    "postgresql": "SELECT relname, tgname FROM pg_trigger JOIN pg_class ON pg_class.oid = tgrelid"
    " WHERE NOT tgisinternal",
}
REFUSAL = "is only ever added to: a correction is a new row"
FUNCTION = "refuse_to_change_a_permanent_record"


def append_only_tables() -> list[str]:
    return sorted(model._meta.db_table for model in apps.get_models() if issubclass(model, AppendOnly))


def install_guards(*, using: str, **kwargs) -> None:
    """For `post_migrate`: guard each append-only table that is there by now."""
    connection = connections[using]
    missing = _missing_guards(connection)
    with connection.cursor() as cursor:
        if missing and connection.vendor == "postgresql":
            cursor.execute(
                f"CREATE OR REPLACE FUNCTION {FUNCTION}() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN "
                f"RAISE EXCEPTION '% {REFUSAL}', TG_TABLE_NAME USING ERRCODE = 'restrict_violation'; END $$"
            )
        for table, verb in missing:
            cursor.execute(_create_guard(connection, table, verb))


def remove_guards(*, using: str) -> None:
    """So that a test database can be emptied; `migrate` puts the guards back."""
    connection = connections[using]
    in_place = _wanted_guards(connection) - _missing_guards(connection)
    with connection.cursor() as cursor:
        for table, verb in in_place:
            on_table = f" ON {connection.ops.quote_name(table)}" if connection.vendor == "postgresql" else ""
            cursor.execute(f"DROP TRIGGER {connection.ops.quote_name(_name(table, verb))}{on_table}")


def tables_left_open(connection: BaseDatabaseWrapper) -> list[str]:
    """Append-only tables of this database that lack a guard."""
    return sorted({table for table, _ in _missing_guards(connection)})


def _wanted_guards(connection: BaseDatabaseWrapper) -> set[tuple[str, str]]:
    with connection.cursor() as cursor:
        present = set(connection.introspection.table_names(cursor))
    verbs = VERBS[connection.vendor]
    return {(table, verb) for table in append_only_tables() if table in present for verb in verbs}


def _missing_guards(connection: BaseDatabaseWrapper) -> set[tuple[str, str]]:
    with connection.cursor() as cursor:
        cursor.execute(TRIGGERS[connection.vendor])
        in_place = set(cursor.fetchall())
    wanted = _wanted_guards(connection)
    return {(table, verb) for table, verb in wanted if (table, _name(table, verb)) not in in_place}


def _name(table: str, verb: str) -> str:
    return f"{table}_no_{verb}"


def _create_guard(connection: BaseDatabaseWrapper, table: str, verb: str) -> str:
    quote = connection.ops.quote_name
    begin = f"CREATE TRIGGER {quote(_name(table, verb))} BEFORE {verb.upper()} ON {quote(table)} "
    if connection.vendor == "postgresql":
        each = "STATEMENT" if verb == "truncate" else "ROW"
        return f"{begin}FOR EACH {each} EXECUTE FUNCTION {FUNCTION}()"
    return f"{begin}BEGIN SELECT RAISE(ABORT, '{table} {REFUSAL}'); END"
