"""What `manage.py check` says about the ground the shop's money stands on.

The settings are looked at always; the database by `check --database default`, and when a server starts.
"""

import sqlite3
import sys

from django.conf import settings
from django.core.checks import CheckMessage, Error, Tags, Warning, register
from django.db import connection

from shop.calc.protected_table import table_faults
from shop.calc.tax_rates import rate_faults
from shop.db.append_only import tables_left_open
from shop.db.closed_periods import tables_without_period_guard
from shop.protected_law import LAW_FILE, law_table
from shop.states import Jurisdiction
from shop.tax_rates import RATES_FILE, rate_table

SOUND_SQLITE = (3, 51, 3)
FULL, EXTRA = 2, 3  # PRAGMA synchronous


@register
def check_settings(app_configs=None, **kwargs) -> list[CheckMessage]:
    if connection.vendor != "sqlite":
        return []
    messages: list[CheckMessage] = []
    if sqlite3.sqlite_version_info < SOUND_SQLITE:
        messages.append(
            Warning(
                f"SQLite {sqlite3.sqlite_version} has a rare fault that can damage the database when several "
                "processes write at once.",
                hint="Install the pysqlite3 wheel (3.51.3 or newer), or use PostgreSQL.",
                id="shop.W001",
            )
        )
    database = settings.DATABASES["default"]
    if database.get("OPTIONS", {}).get("transaction_mode") != "IMMEDIATE":
        messages.append(
            Error(
                "SQLite transactions are not IMMEDIATE: people who save at the same moment would see errors.",
                hint='Set OPTIONS["transaction_mode"] to "IMMEDIATE".',
                id="shop.E002",
            )
        )
    if database.get("ATOMIC_REQUESTS"):
        messages.append(
            Error(
                "ATOMIC_REQUESTS would make every page that only reads wait for those that write.",
                hint="Leave it off; actions open their own transactions.",
                id="shop.E006",
            )
        )
    return messages


@register
def tax_rates_are_sound(app_configs=None, **kwargs) -> list[CheckMessage]:
    return [
        Error(f"fixtures/{RATES_FILE.name}: {fault}", id="shop.E007") for fault in rate_faults(rate_table())
    ]


@register
def check_protected_materials(app_configs=None, **kwargs) -> list[CheckMessage]:
    return [
        Error(f"fixtures/{LAW_FILE.name}: {fault}", id="shop.E008")
        for fault in table_faults(law_table(), Jurisdiction.values)
    ]


@register(Tags.database)
def check_database(app_configs=None, databases=None, **kwargs) -> list[CheckMessage]:
    if "default" not in (databases or ()):
        return []
    if sys.argv[1:2] == ["migrate"]:
        return _check_pragmas()  # the guards are put back by it: it may not be kept from that by their want
    return [*_check_pragmas(), *_check_append_only(), *_check_closed_periods()]


def _check_pragmas() -> list[CheckMessage]:
    if connection.vendor != "sqlite" or connection.is_in_memory_db():
        return []
    messages: list[CheckMessage] = []
    with connection.cursor() as cursor:
        (journal_mode,) = cursor.execute("PRAGMA journal_mode").fetchone()
        (synchronous,) = cursor.execute("PRAGMA synchronous").fetchone()
    if journal_mode != "wal":
        messages.append(
            Error(
                f"The SQLite journal is {journal_mode!r}, not 'wal': readers would stop writers.",
                hint="Keep the database on a local disk and leave `PRAGMA journal_mode=WAL` in init_command.",
                id="shop.E003",
            )
        )
    if synchronous not in {FULL, EXTRA}:
        messages.append(
            Error(
                "SQLite does not wait for the disk: a power cut could take back payments already confirmed.",
                hint="Leave `PRAGMA synchronous=FULL` in init_command.",
                id="shop.E004",
            )
        )
    return messages


def _check_append_only() -> list[CheckMessage]:
    open_tables = tables_left_open(connection)
    if not open_tables:
        return []
    return [
        Error(
            f"Rows that must stay as they were written can be changed in: {', '.join(open_tables)}.",
            hint="Run `manage.py migrate`, which puts the guards back.",
            id="shop.E005",
        )
    ]


def _check_closed_periods() -> list[CheckMessage]:
    unguarded = tables_without_period_guard(connection)
    if not unguarded:
        return []
    return [
        Error(
            f"Rows can be dated inside a closed period of the books in: {', '.join(unguarded)}.",
            hint="Run `manage.py migrate`, which puts the guards back.",
            id="shop.E008",
        )
    ]
