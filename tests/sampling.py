"""What goes whole on one database; on a second one it may go in part.

WRESTPLANK_ONE_OF=3 takes a third of the fields, queries and pages of the walks that say so, always the same,
and a third of the examples of every property. It leaves out what asks no database, which is the same on both:
pytest-django lets no test without its fixtures ask one.
"""

import os
from collections.abc import Iterable
from zlib import crc32

ONE_OF = int(os.environ.get("WRESTPLANK_ONE_OF", "1"))
ASKING = {"db", "transactional_db", "live_server", "client", "standing"}
# By one of these a test may reach it past the fixtures: from another process, or in SQL that it only words.
REACHING = {"subprocess", "connection", "connections", "call_command"}
SERVING = {"trust", "concurrency"}  # folders
LONG = {"trust", "concurrency", "journeys"}


def sampled(names: Iterable[str]) -> list[str]:
    """Of these, in their order, those that are walked here."""
    return [name for name in names if crc32(name.encode()) % ONE_OF == 0]


def may_ask_a_database(item) -> bool:
    if ASKING & set(item.fixturenames) or item.get_closest_marker("django_db"):
        return True
    return bool(REACHING & set(vars(item.module)) or SERVING & set(item.path.parts))


def arrange(config, items) -> None:
    """The long ones begin first, so that neither process waits for the other at the end."""
    items.sort(key=lambda item: not LONG & set(item.path.parts))
    if ONE_OF > 1:
        left_out = [item for item in items if not may_ask_a_database(item)]
        config.hook.pytest_deselected(items=left_out)
        items[:] = [item for item in items if may_ask_a_database(item)]
