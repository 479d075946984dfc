"""A PostgreSQL of our own that can be killed: started as a direct child, so that a dead one leaves no zombie
whose number would keep the next from starting.

Its driver is an extra, imported where it is used: the tests on SQLite are collected without it.
"""

import os
import shutil
import signal
import socket
import subprocess
import time
from contextlib import suppress
from pathlib import Path

from shop.demo.serve import HOST

PATIENCE_SECONDS = 60


class Cluster:
    """A new cluster in `folder`, or a copy of one that was ended. `settings` are lines of postgresql.conf."""

    def __init__(self, folder: Path, *, copied_from: Path | None = None, **settings: str):
        self.folder, self.settings = folder, settings
        with socket.socket() as door:
            door.bind((HOST, 0))
            self.port = door.getsockname()[1]
        self.process: subprocess.Popen | None = None
        if copied_from:
            subprocess.run(["cp", "-a", str(copied_from), str(folder)], check=True)
            return
        folder.mkdir(mode=0o700)
        if os.getuid() == 0:
            shutil.chown(folder, "postgres", "postgres")
        made = [
            programs() / "initdb",
            "-D",
            folder,
            "-U",
            "postgres",
            "-A",
            "trust",
            "-E",
            "UTF8",
            "--no-sync",
        ]
        subprocess.run(_as_postgres(*made), check=True, capture_output=True)

    def address(self, name: str) -> str:
        return f"postgres://postgres@{HOST}:{self.port}/{name}"

    def start(self) -> None:
        """Come back when it answers."""
        import psycopg

        given = {"listen_addresses": HOST, "unix_socket_directories": "", "max_connections": "60"}
        options = [f"-c{name}={value}" for name, value in (given | self.settings).items()]
        with (self.folder.parent / "postgres.log").open("ab") as told:
            self.process = subprocess.Popen(
                _as_postgres(programs() / "postgres", "-D", self.folder, f"-p{self.port}", *options),
                stdout=told,
                stderr=told,
                start_new_session=True,
            )
        patience = time.monotonic() + PATIENCE_SECONDS
        while True:
            with suppress(psycopg.OperationalError):
                psycopg.connect(self.address("postgres"), connect_timeout=3).close()
                return
            if time.monotonic() > patience or self.process.poll() is not None:
                raise RuntimeError("PostgreSQL did not start; postgres.log says why.")
            time.sleep(0.05)

    def create(self, name: str) -> str:
        import psycopg

        with psycopg.connect(self.address("postgres"), autocommit=True) as line:
            line.execute(f'CREATE DATABASE "{name}"')
        return self.address(name)

    def kill(self) -> None:
        """The postmaster and every process of it, each of which leads a session of its own."""
        number = self.process.pid
        self.process.send_signal(signal.SIGSTOP)  # so that it makes no others meanwhile
        children = Path(f"/proc/{number}/task/{number}/children").read_text().split()
        for pid in (number, *map(int, children)):
            with suppress(ProcessLookupError):
                os.kill(pid, signal.SIGKILL)
        self.process.wait(timeout=PATIENCE_SECONDS)
        for pid in children:  # the machine inherits them; what they share is free once they are gone
            while Path(f"/proc/{pid}").exists() and "\nState:\tZ" not in _status(pid):
                time.sleep(0.002)

    def end(self) -> None:
        """In order, whoever is connected; it can be started again."""
        self.process.send_signal(signal.SIGINT)
        self.process.wait(timeout=PATIENCE_SECONDS)

    def stop(self) -> None:
        if self.process is not None and self.process.poll() is None:
            self.kill()


def programs() -> Path:
    """Where the programs of the newest PostgreSQL of this machine lie."""
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin"), key=lambda each: float(each.parent.name))
    if not found:
        raise RuntimeError("There is no PostgreSQL server on this machine.")
    return found[-1]


def _as_postgres(*words) -> list[str]:
    dropped = ["setpriv", "--reuid=postgres", "--regid=postgres", "--clear-groups"]
    return [*(dropped if os.getuid() == 0 else ()), *map(str, words)]


def _status(pid: str) -> str:
    with suppress(OSError):
        return Path(f"/proc/{pid}/status").read_text()
    return "\nState:\tZ"
