"""What the database holds: nothing yet, the demo, or somebody's shop."""

from datetime import date
from enum import Enum

from django.contrib.auth.models import User
from django.db import connection

from instruments.actions.numbers import next_number
from instruments.models import Instrument, NumberSeries
from shop.models import Person, ShopProfile

SERIES = "demo"


class Holding(Enum):
    NOTHING = "nothing"
    THE_DEMO = "the demo"
    A_SHOP = "a shop"


def holding() -> Holding:
    """Safe to ask before the first migration, and of a database that an older version made."""
    tables = set(connection.introspection.table_names())
    if _has_rows(NumberSeries.objects.filter(series=SERIES), tables):
        return Holding.THE_DEMO
    kept = (User, Instrument, Person, ShopProfile)
    return Holding.A_SHOP if any(_has_rows(model.objects, tables) for model in kept) else Holding.NOTHING


def mark(*, on: date) -> None:
    """Number this demo, so that it is known for one later. Runs inside the transaction that builds it."""
    next_number(SERIES, on=on)


def _has_rows(rows, tables: set[str]) -> bool:
    return rows.model._meta.db_table in tables and rows.exists()
