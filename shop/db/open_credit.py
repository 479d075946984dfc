"""Cards under which credit is left, found without adding up every entry that was ever written.

A table of their keys alone, which no model reads: triggers write it beside each entry, whoever writes that,
so that an older release keeps it too. It holds no sum. What is in credit is added up from the entries as
ever, of these cards alone; one too many in it only costs a look, one too few is a fault that `verify` finds.
`migrate` puts it in place each time it ends, as the guards, and fills it anew.
"""

from collections.abc import Iterator

from django.db import connections, models, transaction
from django.db.models import QuerySet, Sum

from shop.models import CreditEntry

ENTRIES = "shop_creditentry"
TABLE = "shop_opencredit"
TRIGGER = "note_open_credit"
NOTE = f"INSERT INTO {TABLE} (person_id) VALUES (NEW.person_id) ON CONFLICT DO NOTHING;"  # noqa: S608
SPENT = (
    f"DELETE FROM {TABLE} WHERE person_id = NEW.person_id"  # noqa: S608
    f" AND (SELECT SUM(amount_minor) FROM {ENTRIES} WHERE person_id = NEW.person_id) = 0;"
)
FILL = (
    f"INSERT INTO {TABLE} (person_id)"  # noqa: S608
    f" SELECT person_id FROM {ENTRIES} GROUP BY person_id HAVING SUM(amount_minor) <> 0"
)


@models.ForeignKey.register_lookup
class OfOpenCard(models.Lookup):
    """`person__of_open_card=True`: the card is one of those in the table."""

    lookup_name = "of_open_card"
    prepare_rhs = False

    def as_sql(self, compiler, connection):
        card, parameters = self.process_lhs(compiler, connection)
        within = "IN" if self.rhs else "NOT IN"
        return f"{card} {within} (SELECT person_id FROM {TABLE})", parameters  # noqa: S608


def entries_of_open_cards() -> QuerySet[CreditEntry]:
    """Whatever was entered under a card whose entries do not come to nothing."""
    return CreditEntry.objects.filter(person__of_open_card=True).order_by()


def open_credit_faults() -> Iterator[str]:
    sums = CreditEntry.objects.order_by().values("person").annotate(sum=Sum("amount_minor"))
    missed = sums.exclude(sum=0).filter(person__of_open_card=False)
    for pk in missed.order_by("person").values_list("person", flat=True).iterator():
        yield f"shop.person {pk}: its credit entries come to something, and the Books do not look at them."


def install_open_credit(*, using: str = "default", **kwargs) -> None:
    """For `post_migrate`, and behind what was brought back."""
    there = connections[using]
    with transaction.atomic(using=using), there.cursor() as cursor:
        if ENTRIES not in there.introspection.table_names(cursor):
            return
        cursor.execute(f"CREATE TABLE IF NOT EXISTS {TABLE} (person_id bigint NOT NULL PRIMARY KEY)")
        if there.vendor == "postgresql":
            cursor.execute(f"LOCK TABLE {ENTRIES} IN SHARE ROW EXCLUSIVE MODE")  # none is written meanwhile
        for statement in _triggers(there.vendor):
            cursor.execute(statement)
        cursor.execute(f"DELETE FROM {TABLE}")  # noqa: S608
        cursor.execute(FILL)
        if there.vendor == "postgresql":  # which takes a table that it never looked at for a large one
            cursor.execute(f"ANALYZE {TABLE}")


def _triggers(vendor: str) -> tuple[str, ...]:
    if vendor == "sqlite":
        return (
            f"DROP TRIGGER IF EXISTS {TRIGGER}",
            f"CREATE TRIGGER {TRIGGER} AFTER INSERT ON {ENTRIES} BEGIN {NOTE} {SPENT} END",
        )
    return (
        f"CREATE OR REPLACE FUNCTION {TRIGGER}() RETURNS trigger LANGUAGE plpgsql AS"
        f" $body$ BEGIN {NOTE} {SPENT} RETURN NULL; END $body$",
        f"DROP TRIGGER IF EXISTS {TRIGGER} ON {ENTRIES}",
        f"CREATE TRIGGER {TRIGGER} AFTER INSERT ON {ENTRIES} FOR EACH ROW EXECUTE FUNCTION {TRIGGER}()",
    )
