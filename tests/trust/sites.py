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
    name = f"wrestplank_{folder.name}_{os.getpid()}".replace("-", "_")
    with _server() as server:
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
    _copy_file(path, site.folder / NAME)
    return True


def _copy_on_server(site: Site, size: int) -> bool:
    kept = f"bench_{size}"
    with _server() as server:
        there = server.execute("SELECT 1 FROM pg_database WHERE datname = %s", [kept]).fetchone()
        if "WRESTPLANK_BENCH" not in os.environ or not there:
            return False
        _copy_database(server, kept, _name_of(site))
    return True


def keep_copy(site: Site) -> str:
    """The tables and rows of a site as they are now, kept beside it: its file, or its database's name."""
    if not site.is_postgres:
        _copy_file(site.folder / NAME, site.folder / "kept.sqlite3")
        return str(site.folder / "kept.sqlite3")
    kept = f"{_name_of(site)}_kept"
    with _server() as server:
        _copy_database(server, _name_of(site), kept)
    return kept


def put_back(site: Site, kept: str) -> None:
    """Make the site what it was when `keep_copy` gave this."""
    if not site.is_postgres:
        for beside in site.folder.glob(f"{NAME}*"):
            beside.unlink()
        _copy_file(Path(kept), site.folder / NAME)
        return
    with _server() as server:
        _copy_database(server, kept, _name_of(site))


def drop_copy(kept: str) -> None:
    if kept.endswith(".sqlite3"):
        Path(kept).unlink()
        return
    with _server() as server:
        server.execute(f"DROP DATABASE IF EXISTS {kept} WITH (FORCE)")


def _copy_file(source: Path, target: Path) -> None:
    with closing(sqlite3.connect(source)) as kept, closing(sqlite3.connect(target)) as copy:
        kept.backup(copy)


def _copy_database(server, source: str, target: str) -> None:
    server.execute(f"DROP DATABASE IF EXISTS {target} WITH (FORCE)")
    server.execute(f"CREATE DATABASE {target} TEMPLATE {source}")


def _server():
    import psycopg  # an extra, which a run on SQLite alone does without

    return psycopg.connect(_address("postgres"), autocommit=True)


def _name_of(site: Site) -> str:
    return urlsplit(site.database).path[1:]


def _address(name: str) -> str:
    return urlsplit(SERVER)._replace(path=f"/{name}").geturl()


def differences(one: dict[str, list], other: dict[str, list]) -> list[str]:
    return sorted(name for name in one.keys() | other.keys() if one.get(name) != other.get(name))
