"""Threads of one process wait for their turn here, so that only the first of them asks the kernel.

Each that asked by itself would take the interpreter from the one who holds the database, two thousand times
a second.
"""

import os
import threading
from collections import deque


class Turns:
    """First come, first served; a turn is handed on and never let go between two."""

    def __init__(self):
        self.guard = threading.Lock()
        self.waiting: deque[threading.Lock] = deque()
        self.is_taken = False

    def take(self, seconds: float) -> bool:
        """Whether the turn came within so many seconds."""
        with self.guard:
            if not self.is_taken:
                self.is_taken = True
                return True
            mine = threading.Lock()
            mine.acquire()
            self.waiting.append(mine)
        if mine.acquire(timeout=max(0.0, seconds)):
            return True
        with self.guard:
            if mine not in self.waiting:
                return True  # handed over at the last moment
            self.waiting.remove(mine)
            return False

    def leave(self) -> None:
        with self.guard:
            if self.waiting:
                self.waiting.popleft().release()
            else:
                self.is_taken = False


_OF: dict[str, Turns] = {}


def turns_at(path: str) -> Turns:
    """The ones of this process before the database at `path`."""
    return _OF.setdefault(path, Turns())


# Whoever stood in line when a process forked does not stand in line in the new one.
os.register_at_fork(after_in_child=_OF.clear)
