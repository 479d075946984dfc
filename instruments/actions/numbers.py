"""Numbers without gaps: taken in the transaction that uses them, so a failed act gives its number back.

Each is asked for in SQL as it stands here: everybody who saves waits for the act that asks.
"""

from datetime import date

from django.db import connection

from instruments.models import NumberSeries

TABLE = NumberSeries._meta.db_table
ITS_ROW = "WHERE series = %s AND year = %s"
NEXT = f"UPDATE {TABLE} SET last = last + 1 {ITS_ROW} RETURNING last"  # noqa: S608
LAST = f"SELECT last FROM {TABLE} {ITS_ROW}"  # noqa: S608
LAST_HELD = f"{LAST} FOR UPDATE"


def next_number(series: str, *, on: date, prefix: str = "") -> str:
    """The next number of a series, such as "26-014" or "T26-003"; must run inside a transaction."""
    return f"{prefix}{on:%y}-{next_in(series, year=on.year):03d}"


def next_in(series: str, *, year: int) -> int:
    """The next whole number of a series; must run inside a transaction.

    The update locks the row on PostgreSQL; on SQLite the whole transaction already holds the write lock.
    """
    if not connection.in_atomic_block:
        raise RuntimeError("A number is only given out inside the transaction that uses it.")
    return _of_its_row(NEXT, series, year)


def last_in(series: str, *, year: int) -> int:
    """The last number given out, held so that no other is taken before this transaction ends."""
    return _of_its_row(LAST_HELD if connection.features.has_select_for_update else LAST, series, year)


def _of_its_row(words: str, series: str, year: int) -> int:
    """The answer of the row of a series, which is begun where there is none yet."""
    with connection.cursor() as cursor:
        cursor.execute(words, [series, year])
        if (row := cursor.fetchone()) is None:
            NumberSeries.objects.get_or_create(series=series, year=year)
            cursor.execute(words, [series, year])
            row = cursor.fetchone()
    return row[0]
