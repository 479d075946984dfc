"""The shop as it is served: gunicorn from this interpreter, several worker processes, the test database."""

import os
import signal
import socket
import subprocess
import sys
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path
from urllib.parse import urlsplit

from django.conf import settings
from django.db import connection

from shop.demo.serve import HOST

ROOT = Path(__file__).resolve().parents[2]
WORKERS, THREADS = 3, 4
THE_SHOP = "shop.wsgi"
# When a process of the door that is mortal is to die.
BEFORE_THE_COMMIT, AFTER_THE_COMMIT = "before the commit", "after the commit"
# What the door that is unguarded may be asked to leave out.
ASKING_FIRST, LOCK_ON_A_PERSON, MEMORY_OF_FORMS = "asking first", "lock on a person", "memory of forms"


@dataclass(frozen=True)
class Server:
    port: int
    pid: int
    log: Path

    @property
    def workers(self) -> list[int]:
        """The worker processes that live now."""
        children = Path(f"/proc/{self.pid}/task/{self.pid}/children").read_text()
        return [int(pid) for pid in children.split()]

    def kill_all_workers(self) -> None:
        """As a machine short of memory would. The one that watches over them starts others."""
        for pid in self.workers:
            with suppress(ProcessLookupError):
                os.kill(pid, signal.SIGKILL)


@contextmanager
def served(folder: Path, *, door: str = THE_SHOP):
    """Serve until the block ends. The door listens before anybody stands behind it, so nobody polls."""
    log = folder / "server.log"
    with socket.socket() as listening, log.open("ab") as told:
        listening.bind((HOST, 0))
        listening.listen(128)
        port = listening.getsockname()[1]
        process = subprocess.Popen(
            command(listening.fileno(), door, WORKERS),
            cwd=ROOT,
            env=os.environ | environment(folder),
            pass_fds=[listening.fileno()],
            stdout=told,
            stderr=told,
        )
    # From here the server alone holds the door: should it fall over, callers are refused at once.
    try:
        yield Server(port, process.pid, log)
    finally:
        end(process)


def end(process: subprocess.Popen) -> None:
    """At once, since nobody waits for an answer any more. One that is still starting may not hear it.

    What a shell starts behind itself ignores this signal, and so do its children until they listen for it.
    """
    for _ in range(12):
        process.send_signal(signal.SIGQUIT)
        with suppress(subprocess.TimeoutExpired):
            process.wait(timeout=5)
            return
    raise subprocess.TimeoutExpired(process.args, 60)


def command(door_number: int, door: str, workers: int) -> list[str]:
    return [
        *(sys.executable, "-m", "gunicorn", door),
        *("--bind", f"fd://{door_number}"),
        *("--worker-class", "gthread", "--workers", str(workers), "--threads", str(THREADS)),
        *("--log-level", "info", "--no-control-socket"),
        "--preload",  # read once and forked: a process that was killed is replaced at once
    ]


def environment(folder: Path) -> dict[str, str]:
    return {
        "DATABASE_URL": address_of_the_test_database(),
        "PYTHONPATH": str(ROOT),
        "SECRET_KEY": settings.SECRET_KEY,  # so that a login of the tests is one there too
        "WRESTPLANK_DATA": str(folder),
        "WRESTPLANK_MEDIA": str(folder / "media"),
        "WRESTPLANK_HTTPS": "no",
        "WRESTPLANK_DEBUG": "no",
    }


def address_of_the_test_database() -> str:
    name = connection.settings_dict["NAME"]
    if connection.vendor == "sqlite":
        return f"sqlite:///{name}"
    return urlsplit(os.environ["DATABASE_URL"])._replace(path=f"/{name}").geturl()
