"""Work that may take its time: two pieces of it at once in a process, and behind all else that it does.

A page is answered while photographs are decoded. On Linux each thread has a rank of its own, which it may
give up and not take back, so there are threads that do nothing else.
"""

import os
import sys
import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from functools import cache
from typing import TypeVar

Made = TypeVar("Made")
AT_ONCE, RANK = 2, 15


def unhurried(work: Callable[..., Made], *given) -> Made:
    """What `work` returns or raises, once there was time for it."""
    return _hands().submit(work, *given).result()


@cache
def _hands() -> ThreadPoolExecutor:
    return ThreadPoolExecutor(AT_ONCE, thread_name_prefix="unhurried", initializer=_step_back)


def _step_back() -> None:
    if sys.platform == "linux":
        mine = threading.get_native_id()
        with suppress(OSError):
            os.setpriority(os.PRIO_PROCESS, mine, max(RANK, os.getpriority(os.PRIO_PROCESS, mine)))


# A process that was forked has none of these threads.
os.register_at_fork(after_in_child=_hands.cache_clear)
