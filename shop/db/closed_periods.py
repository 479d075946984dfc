"""Guards in the database around periods of the books that are closed: nothing more is dated inside them.

`migrate` puts them in place each time it ends, like those of `append_only`. They refuse an INSERT with an
IntegrityError; that what is there cannot be changed is for the other guards.
"""

from django.db import connections
from django.db.backends.base.base import BaseDatabaseWrapper

from shop.db.append_only import TRIGGERS
from shop.models import BookLine, BookPeriod, Sale, TaxRate

PERIODS = BookPeriod._meta.db_table
# Each table with the day that decides. A period begins after every other has ended.
DATED = {
    BookLine._meta.db_table: "entered_on",
    Sale._meta.db_table: "sold_on",
    TaxRate._meta.db_table: "starts_on",
    PERIODS: "starts_on",
}
REFUSAL = "is dated inside a period of the books that is closed"
FUNCTION = "refuse_in_a_closed_period"


def install_period_guards(*, using: str, **kwargs) -> None:
    """For `post_migrate`."""
    connection = connections[using]
    missing = _missing(connection)
    if not missing:
        return
    with connection.cursor() as cursor:
        if connection.vendor == "postgresql":
            cursor.execute(
                f"CREATE OR REPLACE FUNCTION {FUNCTION}() RETURNS trigger LANGUAGE plpgsql AS $$ "  # noqa: S608
                "DECLARE its_day date; BEGIN "
                "its_day := (to_jsonb(NEW) ->> TG_ARGV[0])::date; "
                f"IF its_day <= (SELECT MAX(ends_on) FROM {PERIODS}) THEN "
                f"RAISE EXCEPTION '% {REFUSAL}', TG_TABLE_NAME USING ERRCODE = 'restrict_violation'; "
                "END IF; RETURN NEW; END $$"
            )
        for table in missing:
            cursor.execute(_create(connection, table))


def tables_without_period_guard(connection: BaseDatabaseWrapper) -> list[str]:
    return sorted(_missing(connection))


def _missing(connection: BaseDatabaseWrapper) -> list[str]:
    with connection.cursor() as cursor:
        cursor.execute(TRIGGERS[connection.vendor])
        in_place = set(cursor.fetchall())
        present = set(connection.introspection.table_names(cursor))
    if not set(DATED) <= present:
        return []
    return [table for table in DATED if (table, _name(table)) not in in_place]


def _name(table: str) -> str:
    return f"{table}_in_open_period"


def _create(connection: BaseDatabaseWrapper, table: str) -> str:
    quote, column = connection.ops.quote_name, DATED[table]
    begin = f"CREATE TRIGGER {quote(_name(table))} BEFORE INSERT ON {quote(table)} "
    if connection.vendor == "postgresql":
        return f"{begin}FOR EACH ROW EXECUTE FUNCTION {FUNCTION}('{column}')"
    return (
        f"{begin}WHEN NEW.{quote(column)} <= (SELECT MAX(ends_on) FROM {quote(PERIODS)}) "  # noqa: S608
        f"BEGIN SELECT RAISE(ABORT, '{table} {REFUSAL}'); END"
    )
