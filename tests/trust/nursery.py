"""Servers that start at once: the shop is read into memory one time, and each server is forked from there.

gunicorn's own `--preload` does the same for its workers. What a server had in memory dies with it; the next
one begins from the shop as it was read, which has met no request and holds no connection.
"""

import ctypes
import gc
import os
import signal
import socket
import subprocess
import sys
import time
from contextlib import suppress
from dataclasses import dataclass
from importlib import import_module
from pathlib import Path

from django.conf import settings
from django.template.loader import get_template
from django.urls import get_resolver
from gunicorn.app.wsgiapp import run

from shop.demo.serve import HOST
from tests.concurrency.served import ROOT, THE_SHOP, command, environment

PR_SET_CHILD_SUBREAPER = 36  # of Linux's prctl
LONGEST_END_SECONDS = 40  # gunicorn itself gives up after 30


@dataclass(frozen=True)
class Server:
    """gunicorn in a session of its own: `pid` is its group."""

    port: int
    pid: int

    def end(self) -> None:
        """Let it answer what it has begun, and come back when it is gone."""
        os.kill(self.pid, signal.SIGTERM)
        until = time.monotonic() + LONGEST_END_SECONDS
        while time.monotonic() < until:
            try:
                os.kill(self.pid, 0)
            except ProcessLookupError:
                return
            time.sleep(0.01)
        raise RuntimeError("A server that was told to end did not.")

    def kill_all(self) -> None:
        """At once, watcher and workers."""
        while True:
            try:
                os.killpg(self.pid, signal.SIGKILL)
            except ProcessLookupError:
                return
            time.sleep(0.002)


class Nursery:
    """Opens servers over the database of this process; `more` is laid over its environment.

    `tree` is where the program lies that is served: this one, or another release of it.
    """

    def __init__(self, folder: Path, *, door: str = THE_SHOP, workers: int, tree: Path = ROOT, **more: str):
        self.door, self.workers = door, workers
        self.line, theirs = socket.socketpair()
        with theirs, (folder / "server.log").open("ab") as told:
            self.process = subprocess.Popen(
                [sys.executable, "-m", "tests.trust.nursery", str(theirs.fileno())],
                cwd=tree,
                env=os.environ | environment(folder) | {"PYTHONPATH": str(tree)} | more,
                pass_fds=[theirs.fileno()],
                stdout=told,
                stderr=told,
            )

    def open(self) -> Server:
        with socket.socket() as listening:
            listening.bind((HOST, 0))
            listening.listen(128)
            port = listening.getsockname()[1]
            words = "\n".join(command(0, self.door, self.workers)[3:])
            socket.send_fds(self.line, [words.encode()], [listening.fileno()])
            said = self.line.recv(100)
        if not said:
            raise RuntimeError("The shop could not be read; server.log says why.")
        return Server(port, int(said))

    def close(self) -> None:
        self.line.close()
        self.process.wait(timeout=60)


def main() -> None:
    line = socket.socket(fileno=int(sys.argv[1]))
    import_module(THE_SHOP)
    import_module(settings.ROOT_URLCONF)
    get_resolver()._populate()
    for each in sorted((ROOT / "templates").rglob("*.html")):
        get_template(str(each.relative_to(ROOT / "templates")))
    gc.freeze()  # as shop.wsgi does with what it has read
    # What was killed is gone, and leaves no number behind: nor do the workers of a server, which are
    # inherited here and not by the machine, whose first process may take seconds to look after them.
    ctypes.CDLL(None).prctl(PR_SET_CHILD_SUBREAPER, 1, 0, 0, 0)
    signal.signal(signal.SIGCHLD, signal.SIG_IGN)
    while True:
        words, descriptors, _, _ = socket.recv_fds(line, 10_000, 1)
        if not words:
            return
        pid = os.fork()
        if pid == 0:
            line.close()
            _serve(words.decode().split("\n"), descriptors[0])
        os.close(descriptors[0])
        with suppress(OSError):
            line.send(str(pid).encode())


def _serve(words: list[str], door_number: int) -> None:
    os.setsid()
    signal.signal(signal.SIGCHLD, signal.SIG_DFL)
    os.set_inheritable(door_number, True)
    at = words.index("--bind") + 1
    sys.argv = ["gunicorn", *words[:at], f"fd://{door_number}", *words[at + 1 :]]
    run()


if __name__ == "__main__":
    main()
