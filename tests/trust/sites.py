"""Sites of their own for the harnesses of backups: a folder, a database, commands run as people run them."""

import json
import os
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlsplit

from tests.trust.board import TREE

SERVER = os.environ.get("DATABASE_URL") or "postgres://postgres@127.0.0.1:5432/postgres"


@dataclass(frozen=True)
class Site:
    folder: Path
    database: str  # its address
    media: Path

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
        yield Site(folder, f"sqlite:///{folder / 'shop.sqlite3'}", folder / "media")
        return
    import psycopg  # an extra, which a run on SQLite alone does without

    name = f"wrestplank_{folder.name}_{os.getpid()}".replace("-", "_")
    with psycopg.connect(_address("postgres"), autocommit=True) as server:
        server.execute(f"DROP DATABASE IF EXISTS {name} WITH (FORCE)")
        server.execute(f"CREATE DATABASE {name}")
        try:
            yield Site(folder, _address(name), folder / "media")
        finally:
            server.execute(f"DROP DATABASE {name} WITH (FORCE)")


def _address(name: str) -> str:
    return urlsplit(SERVER)._replace(path=f"/{name}").geturl()


def differences(one: dict[str, list], other: dict[str, list]) -> list[str]:
    return sorted(name for name in one.keys() | other.keys() if one.get(name) != other.get(name))
