"""Threads of one process let the one that holds the database go before.

It gives the interpreter away with each question, and would wait for it after each while others compute: for
longer than its own work takes. Whoever is about to ask something sleeps instead until it is done.
"""

import os
import threading
import time

LONGEST_SECONDS = 0.02


class Way:
    """Before one database; free while nobody of this process holds it."""

    def __init__(self):
        self.free = threading.Event()
        self.free.set()
        self.holder = 0
        self.own = threading.local()

    def take(self) -> None:
        self.holder = threading.get_ident()
        self.free.clear()

    def leave(self) -> None:
        self.holder = 0
        self.free.set()

    def give(self) -> None:
        """Wait for the holder, if another thread is one: never for long, and for half of the time at most."""
        if self.free.is_set() or self.holder == threading.get_ident():
            return
        began = time.monotonic()
        if began < getattr(self.own, "goes_on_until", 0.0):
            return
        self.free.wait(LONGEST_SECONDS)
        ended = time.monotonic()
        self.own.goes_on_until = ended + (ended - began)


_OF: dict[str, Way] = {}


def way_at(path: str) -> Way:
    """The one of this process before the database at `path`."""
    return _OF.setdefault(path, Way())


# Whoever held the database when a process forked does not hold it in the new one.
os.register_at_fork(after_in_child=_OF.clear)
