"""Guards in the database itself around the order of work, whatever is written past the actions.

No item is done while one that must come first is open, and no order is ready while required work in it is.
`migrate` puts them in place each time it ends, since SQLite drops a table's triggers whenever a migration
rebuilds the table. They refuse with an IntegrityError, on SQLite and PostgreSQL alike.
"""

from dataclasses import dataclass

from django.db import connections
from django.db.backends.base.base import BaseDatabaseWrapper

ITEM, NEEDS, ORDER = "workorders_workitem", "workorders_workitem_needs", "workorders_workorder"
TRIGGERS = {
    "sqlite": "SELECT name FROM sqlite_master WHERE type = 'trigger'",
    "postgresql": "SELECT tgname FROM pg_trigger JOIN pg_class ON pg_class.oid = tgrelid"
    " WHERE NOT tgisinternal AND relnamespace = current_schema()::regnamespace",
}


@dataclass(frozen=True)
class Guard:
    """Before `verb` on `table`: where `when` holds of the NEW row, no row of `unless` may be found."""

    name: str
    table: str
    verb: str
    when: str
    unless: str
    refusal: str


FIRST = "What must come first is still open"
READY = "Required work in it is still open"
GUARDS = (
    Guard(
        "item_not_done_before_its_needs",
        ITEM,
        "UPDATE",
        "NEW.state = 'done'",
        "SELECT 1 FROM workorders_workitem_needs n JOIN workorders_workitem i ON i.id = n.to_workitem_id"
        " WHERE n.from_workitem_id = NEW.id AND i.state = 'open'",
        FIRST,
    ),
    Guard(
        "item_not_open_under_what_is_done",
        ITEM,
        "UPDATE",
        "NEW.state = 'open'",
        "SELECT 1 FROM workorders_workitem_needs n JOIN workorders_workitem i ON i.id = n.from_workitem_id"
        " WHERE n.to_workitem_id = NEW.id AND i.state = 'done'",
        FIRST,
    ),
    *(
        Guard(
            f"need_{verb.lower()}_not_open_under_what_is_done",
            NEEDS,
            verb,
            "1 = 1",
            "SELECT 1 FROM workorders_workitem later"
            " JOIN workorders_workitem first ON first.id = NEW.to_workitem_id"
            " WHERE later.id = NEW.from_workitem_id AND later.state = 'done' AND first.state = 'open'",
            FIRST,
        )
        for verb in ("INSERT", "UPDATE")
    ),
    Guard(
        "order_not_ready_over_required_work",
        ORDER,
        "UPDATE",
        "NEW.state = 'ready'",
        "SELECT 1 FROM workorders_workitem i"
        " WHERE i.order_id = NEW.id AND i.state = 'open' AND i.is_required",
        READY,
    ),
    *(
        Guard(
            f"required_item_{verb.lower()}_not_open_in_a_ready_order",
            ITEM,
            verb,
            "NEW.state = 'open' AND NEW.is_required",
            "SELECT 1 FROM workorders_workorder o WHERE o.id = NEW.order_id AND o.state = 'ready'",
            READY,
        )
        for verb in ("INSERT", "UPDATE")
    ),
)


def install_guards(*, using: str, **kwargs) -> None:
    """For `post_migrate`: put each guard in place whose tables are there by now."""
    connection = connections[using]
    with connection.cursor() as cursor:
        present = set(connection.introspection.table_names(cursor))
        if not {ITEM, NEEDS, ORDER} <= present:
            return
        for guard in guards_missing(connection):
            for statement in _statements(connection, guard):
                cursor.execute(statement)


def remove_guards(*, using: str) -> None:
    """For tests of what is refused without them; `migrate` puts the guards back."""
    connection = connections[using]
    missing = guards_missing(connection)
    with connection.cursor() as cursor:
        for guard in GUARDS:
            if guard not in missing:
                on_table = f" ON {guard.table}" if connection.vendor == "postgresql" else ""
                cursor.execute(f"DROP TRIGGER {guard.name}{on_table}")


def guards_missing(connection: BaseDatabaseWrapper) -> list[Guard]:
    with connection.cursor() as cursor:
        cursor.execute(TRIGGERS[connection.vendor])
        in_place = {name for (name,) in cursor.fetchall()}
    return [guard for guard in GUARDS if guard.name not in in_place]


def _statements(connection: BaseDatabaseWrapper, guard: Guard) -> list[str]:
    begin = f"CREATE TRIGGER {guard.name} BEFORE {guard.verb} ON {guard.table} FOR EACH ROW"
    if connection.vendor == "sqlite":
        refuse = f"SELECT RAISE(ABORT, '{guard.refusal}') WHERE EXISTS ({guard.unless})"
        return [f"{begin} WHEN {guard.when} BEGIN {refuse}; END"]
    body = (
        f"BEGIN IF {guard.when} AND EXISTS ({guard.unless}) THEN RAISE EXCEPTION '{guard.refusal}'"
        " USING ERRCODE = 'restrict_violation'; END IF; RETURN NEW; END"
    )
    function = f"CREATE OR REPLACE FUNCTION {guard.name}() RETURNS trigger LANGUAGE plpgsql AS $$ {body} $$"
    return [function, f"{begin} EXECUTE FUNCTION {guard.name}()"]
