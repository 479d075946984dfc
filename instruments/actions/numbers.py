"""Numbers without gaps: taken in the transaction that uses them, so a failed act gives its number back."""

from datetime import date

from django.db import transaction
from django.db.models import F

from instruments.models import NumberSeries


def next_number(series: str, *, on: date, prefix: str = "") -> str:
    """The next number of a series, such as "26-014" or "T26-003"; must run inside a transaction."""
    return f"{prefix}{on:%y}-{next_in(series, year=on.year):03d}"


def next_in(series: str, *, year: int) -> int:
    """The next whole number of a series; must run inside a transaction.

    The conditional update locks the row on PostgreSQL; on SQLite the whole transaction already holds the
    write lock.
    """
    if not transaction.get_connection().in_atomic_block:
        raise RuntimeError("A number is only given out inside the transaction that uses it.")
    row = NumberSeries.objects.filter(series=series, year=year)
    if not row.update(last=F("last") + 1):
        NumberSeries.objects.get_or_create(series=series, year=year)
        row.update(last=F("last") + 1)
    return NumberSeries.objects.values_list("last", flat=True).get(series=series, year=year)


def last_in(series: str, *, year: int) -> int:
    """The last number given out, held so that no other is taken before this transaction ends."""
    row = (
        NumberSeries.objects.select_for_update()
        .filter(series=series, year=year)
        .values_list("last", flat=True)
    )
    if not (found := list(row)):
        NumberSeries.objects.get_or_create(series=series, year=year)
        found = list(row.all())
    return found[0]
