"""Filled shops of several sizes, open side by side in one process, so that what is timed is interleaved.

Databases are kept between runs where WRESTPLANK_BENCH says (default: `bench` in the data folder): as files
`s<size>.sqlite3`, or on PostgreSQL, where DATABASE_URL names a server, databases `bench_<size>`. One that is
not there yet is made and filled, which for 100,000 instruments takes some minutes.
"""

import gc
import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from time import perf_counter, process_time
from urllib.parse import parse_qsl

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "tests.bench.settings")

import django

django.setup()

from django.conf import settings  # noqa: E402
from django.db import connections  # noqa: E402
from django.test import Client  # noqa: E402
from django.test.utils import CaptureQueriesContext  # noqa: E402

from shop.serving import collect_seldom  # noqa: E402

TREE = Path(__file__).resolve().parent.parent.parent
FOLDER = Path(os.environ.get("WRESTPLANK_BENCH", settings.DATA_DIR / "bench"))
IS_POSTGRES = settings.DATABASES["default"]["ENGINE"].endswith("postgresql")
# SQLite works in this process: its pages are timed by the processor, those of PostgreSQL by the wall.
CLOCK = perf_counter if IS_POSTGRES else process_time


def address_of(size: int) -> str:
    """The DATABASE_URL of the filled shop of that size."""
    if not IS_POSTGRES:
        return f"sqlite:///{FOLDER / f's{size}.sqlite3'}"
    return f"{os.environ['DATABASE_URL'].rpartition('/')[0]}/bench_{size}"


def collect_as_served() -> None:
    """Look for rubbish as `shop/wsgi.py` has it: seldom, and not among what is loaded by now.

    With Python’s own limits it looks through all there is once in a few pages, which takes it more than half
    of the time of one: of two pages that are timed in turn it may each time be the same that waits for that.
    """
    collect_seldom()
    gc.collect()
    gc.freeze()


def prepared(size: int) -> None:
    """Make and fill the database of that size where it is not there."""
    if IS_POSTGRES:
        with connections["default"].cursor() as cursor:
            cursor.execute("SELECT 1 FROM pg_database WHERE datname = %s", [f"bench_{size}"])
            if cursor.fetchone():
                return
            cursor.execute(f"CREATE DATABASE bench_{size}")
    elif (FOLDER / f"s{size}.sqlite3").exists():
        return
    FOLDER.mkdir(parents=True, exist_ok=True)
    subprocess.run(
        [sys.executable, "-m", "tests.bench.filled_shop", str(size)],
        cwd=TREE,
        env={**os.environ, "DATABASE_URL": address_of(size), "DJANGO_SETTINGS_MODULE": "shop.settings"},
        check=True,
    )


class Shop:
    """One filled shop, with a browser in which its owner is signed in, and one for a stranger."""

    def __init__(self, size: int):
        prepared(size)
        self.size, base = size, connections.settings["default"]
        name = f"bench_{size}" if IS_POSTGRES else str(FOLDER / f"s{size}.sqlite3")
        connections.settings[f"of_{size}"] = {**base, "NAME": name}
        with self.open():
            from django.contrib.auth.models import User

            self.owner, self.stranger, self.admin = Client(), Client(), Client()
            self.owner.force_login(User.objects.get(username="olive"))
            may_all = {"is_staff": True, "is_superuser": True}
            self.admin.force_login(User.objects.get_or_create(username="admin", defaults=may_all)[0])

    @contextmanager
    def open(self) -> Iterator[None]:
        """While it lasts, the program's database is this one."""
        usual = connections["default"]
        connections["default"] = connections[f"of_{self.size}"]
        try:
            yield
        finally:
            connections["default"] = usual

    def get(self, path: str, *, stranger: bool = False):
        """The page, which has to be one: anything else would be quick for the wrong reason.

        After a blank in the `path` stands what is typed and sent in the body.
        """
        browser = self.admin if path.startswith("/admin/") else self.stranger if stranger else self.owner
        path, _, typed = path.partition(" ")
        answer = browser.post(path, dict(parse_qsl(typed))) if typed else browser.get(path)
        if answer.status_code != 200:
            raise RuntimeError(f"{path} answered {answer.status_code}")
        return answer

    def queries(self, path: str, *, stranger: bool = False) -> list[dict]:
        with self.open(), CaptureQueriesContext(connections["default"]) as captured:
            self.get(path, stranger=stranger)
        return [each for each in captured.captured_queries if not _is_framing(each["sql"])]


def _is_framing(sql: str) -> bool:
    return sql.startswith(("SAVEPOINT", "RELEASE", "BEGIN", "COMMIT", "ROLLBACK"))
