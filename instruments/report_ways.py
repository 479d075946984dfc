"""Where a condition report leads on to once it is written: what another app may lay down, such as a trial.

The report asks and knows nothing of what it is for: an app registers its own when it is ready.
"""

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True)
class WayOn:
    words: str
    url: str


FINDERS: list[Callable] = []


def register_report_way(find: Callable) -> None:
    """`find(report, user)` gives a WayOn or None. Registered twice, it is asked once."""
    if find not in FINDERS:
        FINDERS.append(find)


def ways_on(report, user) -> list[WayOn]:
    return [way for find in FINDERS if (way := find(report, user))]
