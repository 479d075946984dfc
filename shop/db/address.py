"""Which database the shop stands on, from the environment."""

import os
from pathlib import Path

import dj_database_url

from shop.db.sqlite import OPTIONS


def database(folder: Path) -> dict:
    """For `settings.DATABASES`. Without DATABASE_URL, or with an empty one: the SQLite file in `folder`."""
    address = os.environ.get("DATABASE_URL", "").strip() or f"sqlite:///{folder / 'shop.sqlite3'}"
    told = dj_database_url.parse(address, conn_max_age=None, conn_health_checks=True)
    if not told["ENGINE"].endswith("sqlite3"):
        return told
    return told | {
        "ENGINE": "shop.db.sqlite",
        "TEST": {"NAME": str(folder / "test.sqlite3")},
        "OPTIONS": OPTIONS,
    }
