"""What the database knows of its own tables, by which it chooses a way through them.

PostgreSQL looks for itself. SQLite has to be asked: without it a page that asks for a few rows among many may
read them all. Only what was never looked at or has grown much since is looked at: of 100,000 instruments two
seconds the first time, and a fiftieth of one after.
"""

from django.db import connection, transaction

# https://www.sqlite.org/pragma.html#pragma_optimize: 0x02 looks where it helps, 0x10000 at every table and
# not only at those that this connection has read from.
LOOK = "PRAGMA optimize=0x10002"


def keep_statistics() -> None:
    """Raises DatabaseError where the database cannot be written to."""
    if connection.vendor == "sqlite":
        with transaction.atomic(), connection.cursor() as cursor:
            cursor.execute(LOOK)
