"""Sites of their own for the harnesses of backups: a folder, a database, commands run as people run them."""

import json
import os
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlsplit

from tests.trust.board import TREE

NAME = "shop.sqlite3"
SERVER = os.environ.get("DATABASE_URL") or "postgres://postgres@127.0.0.1:5432/postgres"


@dataclass(frozen=True)
class Site:
    folder: Path
    database: str  # its address
    media: Path

    @property
    def is_postgres(self) -> bool:
        return self.database.startswith("postgres")

    def run(self, *words: str, check: bool = True) -> subprocess.CompletedProcess:
        """`manage.py words`, or a module of the tests when the first begins with "-m"."""
        begin = [] if words[0] == "-m" else ["manage.py"]
        done = subprocess.run(
            [sys.executable, *begin, *words], cwd=TREE, env=self.environment, capture_output=True, text=True
        )
        assert not check or done.returncode == 0, done.stdout + done.stderr
        return done

    @property
    def environment(self) -> dict[str, str]:
        return os.environ | {
            "PYTHONPATH": str(TREE),
            "DATABASE_URL": self.database,
            "WRESTPLANK_DATA": str(self.folder),
            "WRESTPLANK_MEDIA": str(self.media),
        }

    def print(self) -> dict[str, list]:
        return json.loads(self.run("-m", "tests.trust.site_print").stdout)


@contextmanager
def new_site(folder: Path, vendor: str) -> Iterator[Site]:
    """Empty: without a single table."""
    folder.mkdir(parents=True)
    if vendor == "sqlite":
        yield Site(folder, f"sqlite:///{folder / NAME}", folder / "media")
        return
    import psycopg

    name = f"wrestplank_{folder.name}_{os.getpid()}".replace("-", "_")
    with psycopg.connect(_address("postgres"), autocommit=True) as server:
        server.execute(f"DROP DATABASE IF EXISTS {name} WITH (FORCE)")
        server.execute(f"CREATE DATABASE {name}")
        try:
            yield Site(folder, _address(name), folder / "media")
        finally:
            server.execute(f"DROP DATABASE IF EXISTS {name} WITH (FORCE)")


def fill(site: Site, size: int) -> None:
    """Write a shop with so many instruments into an empty site.

    Where WRESTPLANK_BENCH keeps one (tests/bench/ground.py), as a file there or as a database of the same
    server, it is copied and brought to the tables of today; else it is made, which takes some minutes.
    """
    if (_copy_on_server if site.is_postgres else _copy_of_file)(site, size):
        site.run("migrate", "-v", "0")
    else:
        site.run("-m", "tests.bench.filled_shop", str(size))


def _copy_of_file(site: Site, size: int) -> bool:
    path = Path(os.environ.get("WRESTPLANK_BENCH", "")) / f"s{size}.sqlite3"
    if "WRESTPLANK_BENCH" not in os.environ or not path.exists():
        return False
    with closing(sqlite3.connect(path)) as kept, closing(sqlite3.connect(site.folder / NAME)) as copy:
        kept.backup(copy)
    return True


def _copy_on_server(site: Site, size: int) -> bool:
    import psycopg

    kept, name = f"bench_{size}", urlsplit(site.database).path[1:]
    with psycopg.connect(_address("postgres"), autocommit=True) as server:
        there = server.execute("SELECT 1 FROM pg_database WHERE datname = %s", [kept]).fetchone()
        if "WRESTPLANK_BENCH" not in os.environ or not there:
            return False
        server.execute(f"DROP DATABASE {name} WITH (FORCE)")
        server.execute(f"CREATE DATABASE {name} TEMPLATE {kept}")
    return True


def _address(name: str) -> str:
    return urlsplit(SERVER)._replace(path=f"/{name}").geturl()


def differences(one: dict[str, list], other: dict[str, list]) -> list[str]:
    return sorted(name for name in one.keys() | other.keys() if one.get(name) != other.get(name))
