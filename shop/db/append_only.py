"""Guards in the database itself around the records that are only ever added to.

`migrate` puts them in place each time it ends, since SQLite drops a table's triggers whenever a migration
rebuilds the table. They refuse UPDATE and DELETE with an IntegrityError, on SQLite and PostgreSQL alike;
so `flush` is refused too.

One narrow update passes: words about a person, in the columns that `shop/person_rows.py` names, may become
the mark of what was erased, and every other column stays as it is. The name of such a guard carries a
fingerprint of the columns, so that it is made anew when they change.
"""

import hashlib

from django.apps import apps
from django.db import connections
from django.db.backends.base.base import BaseDatabaseWrapper

from instruments.models import AppendOnly
from shop.person_rows import ERASED, ROWS

# PostgreSQL empties a table without deleting its rows one by one, so that is guarded as well.
VERBS = {"sqlite": ("update", "delete"), "postgresql": ("update", "delete", "truncate")}
TRIGGERS = {
    "sqlite": "SELECT tbl_name, name FROM sqlite_master WHERE type = 'trigger'",
    "postgresql": "SELECT relname, tgname FROM pg_trigger JOIN pg_class ON pg_class.oid = tgrelid"
    " WHERE NOT tgisinternal AND relnamespace = current_schema()::regnamespace",
}
REFUSAL = "is only ever added to: a correction is a new row"
FUNCTION = "refuse_to_change_a_permanent_record"
NARROW_FUNCTION = "refuse_all_but_erasing_words_of_a_permanent_record"
# The mark, or the mark with the number of the row, or an empty list or object; TG_ARGV are the columns.
NARROW_BODY = f"""
DECLARE word text; was jsonb := to_jsonb(OLD); becomes jsonb := to_jsonb(NEW);
BEGIN
    FOREACH word IN ARRAY TG_ARGV LOOP
        IF becomes -> word IS DISTINCT FROM was -> word AND becomes -> word NOT IN
            (to_jsonb('[{ERASED}]'::text), to_jsonb('[{ERASED} ' || OLD.id || ']'),
             '[]'::jsonb, '{{}}'::jsonb)
        THEN RAISE EXCEPTION '% {REFUSAL}', TG_TABLE_NAME USING ERRCODE = 'restrict_violation'; END IF;
    END LOOP;
    IF was - TG_ARGV IS DISTINCT FROM becomes - TG_ARGV THEN
        RAISE EXCEPTION '% {REFUSAL}', TG_TABLE_NAME USING ERRCODE = 'restrict_violation';
    END IF;
    RETURN NEW;
END"""


def append_only_tables() -> list[str]:
    return sorted(model._meta.db_table for model in apps.get_models() if issubclass(model, AppendOnly))


def erasable_columns() -> dict[str, list[str]]:
    """Of each append-only table with words about people, the columns that may be erased."""
    return {
        rows.model._meta.db_table: [rows.model._meta.get_field(name).column for name in rows.words]
        for rows in ROWS
        if issubclass(rows.model, AppendOnly) and rows.words
    }


def install_guards(*, using: str, **kwargs) -> None:
    """For `post_migrate`: guard each append-only table that is there by now."""
    connection = connections[using]
    missing, outdated = _missing_guards(connection), _outdated_guards(connection)
    with connection.cursor() as cursor:
        if missing and connection.vendor == "postgresql":
            cursor.execute(
                f"CREATE OR REPLACE FUNCTION {FUNCTION}() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN "
                f"RAISE EXCEPTION '% {REFUSAL}', TG_TABLE_NAME USING ERRCODE = 'restrict_violation'; END $$"
            )
            cursor.execute(
                f"CREATE OR REPLACE FUNCTION {NARROW_FUNCTION}() RETURNS trigger LANGUAGE plpgsql "
                f"AS $${NARROW_BODY} $$"
            )
        for table, verb, name in missing:
            cursor.execute(_create_guard(connection, table, verb, name))
    _drop(connection, outdated)


def remove_guards(*, using: str) -> None:
    """So that a test database can be emptied; `migrate` puts the guards back."""
    connection = connections[using]
    in_place = _wanted_guards(connection) - _missing_guards(connection)
    _drop(connection, {(table, name) for table, _, name in in_place})


def _drop(connection: BaseDatabaseWrapper, guards: set[tuple[str, str]]) -> None:
    quote = connection.ops.quote_name
    with connection.cursor() as cursor:
        for table, name in guards:
            on_table = f" ON {quote(table)}" if connection.vendor == "postgresql" else ""
            cursor.execute(f"DROP TRIGGER {quote(name)}{on_table}")


def tables_left_open(connection: BaseDatabaseWrapper) -> list[str]:
    """Append-only tables of this database that lack a guard; one for earlier columns guards still."""
    in_place = _in_place(connection)
    return sorted(
        {
            table
            for table, verb, _ in _missing_guards(connection)
            if not any(at == table and name.startswith(f"{table}_no_{verb}") for at, name in in_place)
        }
    )


def _wanted_guards(connection: BaseDatabaseWrapper) -> set[tuple[str, str, str]]:
    """(table, verb, name)"""
    with connection.cursor() as cursor:
        present = set(connection.introspection.table_names(cursor))
    verbs = VERBS[connection.vendor]
    return {
        (table, verb, _name(table, verb))
        for table in append_only_tables()
        if table in present
        for verb in verbs
    }


def _in_place(connection: BaseDatabaseWrapper) -> set[tuple[str, str]]:
    with connection.cursor() as cursor:
        cursor.execute(TRIGGERS[connection.vendor])
        return set(cursor.fetchall())


def _missing_guards(connection: BaseDatabaseWrapper) -> set[tuple[str, str, str]]:
    in_place = _in_place(connection)
    return {each for each in _wanted_guards(connection) if (each[0], each[2]) not in in_place}


def _outdated_guards(connection: BaseDatabaseWrapper) -> set[tuple[str, str]]:
    """Those of an earlier set of columns."""
    wanted = {(table, name) for table, _, name in _wanted_guards(connection)}
    ours = {(table, name) for table, name in _in_place(connection) if name.startswith(f"{table}_no_update")}
    return {each for each in ours - wanted if each[0] in append_only_tables()}


def _name(table: str, verb: str) -> str:
    columns = erasable_columns().get(table) if verb == "update" else None
    if not columns:
        return f"{table}_no_{verb}"
    words = repr((sorted(columns), sorted(_columns_of(table))))
    return f"{table}_no_{verb}_{hashlib.sha256(words.encode()).hexdigest()[:8]}"


def _columns_of(table: str) -> list[str]:
    (model,) = (each for each in apps.get_models() if each._meta.db_table == table)
    return [each.column for each in model._meta.concrete_fields]


def _create_guard(connection: BaseDatabaseWrapper, table: str, verb: str, name: str) -> str:
    quote = connection.ops.quote_name
    words = erasable_columns().get(table, []) if verb == "update" else []
    begin = f"CREATE TRIGGER {quote(name)} BEFORE {verb.upper()} ON {quote(table)} "
    if connection.vendor == "postgresql":
        each = "STATEMENT" if verb == "truncate" else "ROW"
        columns = ", ".join(f"'{word}'" for word in words)
        return f"{begin}FOR EACH {each} EXECUTE FUNCTION {NARROW_FUNCTION if words else FUNCTION}({columns})"
    narrow = f"WHEN NOT ({_narrow(table, words, quote)}) " if words else ""
    return f"{begin}{narrow}BEGIN SELECT RAISE(ABORT, '{table} {REFUSAL}'); END"


def _narrow(table: str, words: list[str], quote) -> str:
    """What SQLite lets pass: the same columns, and the mark for words."""
    marks = f"('[{ERASED}]', '[{ERASED} ' || OLD.id || ']', '[]', '{{}}')"
    same = (f"NEW.{quote(each)} IS OLD.{quote(each)}" for each in _columns_of(table) if each not in words)
    erased = (f"(NEW.{quote(each)} IS OLD.{quote(each)} OR NEW.{quote(each)} IN {marks})" for each in words)
    return " AND ".join([*same, *erased])
