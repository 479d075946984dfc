"""One writer at a time, in a line that keeps moving.

SQLite lets waiting writers sleep and wake as they please, so that now and then one waits for a second
while others overtake it. A lock taken just before BEGIN IMMEDIATE lines them up instead. It has two doors:
whoever stands between them is next, so that a writer who has just left cannot slip in again before it.
The locks belong to open files, and the kernel opens the doors when a process dies. Threads of one process
come to the doors one by one (turns.py).
"""

import fcntl
import os
import time
from contextlib import suppress
from pathlib import Path

from django.db.utils import OperationalError

from shop.db.sqlite.giving_way import way_at
from shop.db.sqlite.turns import Turns, turns_at

LONGEST_WAIT_SECONDS = 20.0
PAUSE_SECONDS = 0.0005
ENDINGS = ("-queue", "-gate")


class DatabaseBusy(OperationalError):
    """Other writers held the database for too long; nothing was changed, and it may be tried again."""


class Gate:
    """The way in for one connection to the database file at `path`."""

    def __init__(self, path: str | Path):
        self.path = path
        self.way = way_at(str(path))
        self.turns: Turns | None = None
        self.doors: list[int] = []
        self.is_held = False

    def take(self) -> None:
        if self.is_held:
            return
        if not self.doors:
            self.doors = [_opened(f"{self.path}{ending}") for ending in ENDINGS]
        queue, gate = self.doors
        deadline = time.monotonic() + LONGEST_WAIT_SECONDS
        turns = turns_at(str(self.path))
        if not turns.take(LONGEST_WAIT_SECONDS):
            raise _busy()
        try:
            _pass(queue, deadline)
            try:
                _pass(gate, deadline)
            finally:
                fcntl.flock(queue, fcntl.LOCK_UN)
        except BaseException:
            turns.leave()
            raise
        self.turns, self.is_held = turns, True
        self.way.take()

    def leave(self) -> None:
        if self.is_held:
            self.way.leave()
            fcntl.flock(self.doors[-1], fcntl.LOCK_UN)
            self.is_held = False
            self.turns.leave()

    def close(self) -> None:
        self.leave()
        while self.doors:
            os.close(self.doors.pop())


def _busy() -> DatabaseBusy:
    return DatabaseBusy(f"Other writers held the database for more than {LONGEST_WAIT_SECONDS:.0f} seconds.")


def _opened(path: str) -> int:
    try:
        return os.open(path, os.O_RDWR | os.O_CREAT | os.O_CLOEXEC, 0o600)
    except OSError as error:  # a full or read-only disk
        raise OperationalError(f"The gate of the database cannot be opened: {error}") from error


def _pass(door: int, deadline: float) -> None:
    while True:
        with suppress(BlockingIOError):
            fcntl.flock(door, fcntl.LOCK_EX | fcntl.LOCK_NB)
            return
        if time.monotonic() > deadline:
            raise _busy()
        time.sleep(PAUSE_SECONDS)
