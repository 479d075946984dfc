"""Work that may take its time: two pieces of it at once in a process, and behind all else that it does.

A page is answered while photographs are decoded. On Linux each thread has a rank of its own, which it may
give up and not take back, so each piece has a thread of its own that ends with it. One that stayed would be
the last to hear that its process was killed: while the machine is busy, whoever waits for an answer of that
process would not be told for a third of a second, and could not turn to another. Nor is its rank the last
there is: at 15 a small picture, hardly begun, waits as long again for each of its turns.
"""

import os
import sys
import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from typing import TypeVar

Made = TypeVar("Made")
AT_ONCE, RANK = 2, 10
_places = threading.BoundedSemaphore(AT_ONCE)


def unhurried(work: Callable[..., Made], *given) -> Made:
    """What `work` returns or raises, once there was time for it."""
    with _places:
        hand = ThreadPoolExecutor(1, thread_name_prefix="unhurried", initializer=_step_back)
        made = hand.submit(work, *given)
        hand.shutdown(wait=False)  # its thread ends with this work
        return made.result()


def _step_back() -> None:
    if sys.platform == "linux":
        mine = threading.get_native_id()
        with suppress(OSError):
            os.setpriority(os.PRIO_PROCESS, mine, max(RANK, os.getpriority(os.PRIO_PROCESS, mine)))


def _all_places_free() -> None:
    global _places
    _places = threading.BoundedSemaphore(AT_ONCE)


# A process that was forked has none of these threads.
os.register_at_fork(after_in_child=_all_places_free)
