"""Which database the shop stands on, from the environment."""

import os
from pathlib import Path

import dj_database_url
from django.core.exceptions import ImproperlyConfigured

from shop.db.sqlite import OPTIONS

HERE = {"", "localhost", "127.0.0.1", "::1"}  # and a folder's name, for a socket on this machine
WHOLE = "verify-full"  # libpq: in cipher, a certificate that is trusted, and for this very name


def database(folder: Path) -> dict:
    """For `settings.DATABASES`. Without DATABASE_URL, or with an empty one: the SQLite file in `folder`."""
    address = os.environ.get("DATABASE_URL", "").strip() or f"sqlite:///{folder / 'shop.sqlite3'}"
    told = dj_database_url.parse(address, conn_max_age=None, conn_health_checks=True)
    if not told["ENGINE"].endswith("sqlite3"):
        return _over_a_safe_line(_for_short_answers(told))
    return told | {
        "ENGINE": "shop.db.sqlite",
        "TEST": {"NAME": str(folder / "test.sqlite3")},
        "OPTIONS": OPTIONS,
    }


def _for_short_answers(told: dict) -> dict:
    """Pages ask long questions with short answers: compiling one takes PostgreSQL seconds and saves none.

    Nor is a row that an index leads to four times as dear as the next of its table, as where a disk has to
    turn: believing so, PostgreSQL reads a table through sooner than look a few hundred rows up.

    What PGOPTIONS asks for, such as a `lock_timeout` for `migrate`, comes last and counts; beside these it
    would be lost.
    """
    ours = f"-c jit=off -c random_page_cost=1.1 {os.environ.get('PGOPTIONS', '')}".strip()
    return told | {"OPTIONS": {"options": ours} | told.get("OPTIONS", {})}


def _over_a_safe_line(told: dict) -> dict:
    """To another machine only in cipher, its certificate looked at; on this one nothing travels."""
    host = told.get("HOST") or ""
    if host in HERE or host.startswith("/"):
        return told
    options = {"sslmode": WHOLE} | told.get("OPTIONS", {})
    if options["sslmode"] != WHOLE:
        raise ImproperlyConfigured(
            f"DATABASE_URL names another machine, so its sslmode must be {WHOLE}, not "
            f"{options['sslmode']!r}: else somebody between could read along or answer in its place."
        )
    return told | {"OPTIONS": options}
