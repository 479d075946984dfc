"""The long walks go whole on one database; on a second one they may take every so-manieth step.

WRESTPLANK_ONE_OF=3 takes a third of the fields, queries and pages of the walks that say so, always the same,
and a third of the examples of every property.
"""

import os
from collections.abc import Iterable
from zlib import crc32

ONE_OF = int(os.environ.get("WRESTPLANK_ONE_OF", "1"))


def sampled(names: Iterable[str]) -> list[str]:
    """Of these, in their order, those that are walked here."""
    return [name for name in names if crc32(name.encode()) % ONE_OF == 0]
