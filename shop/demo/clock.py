"""A clock that stands where the diary says, so that the invented records carry the days they tell of."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta

from django.utils import timezone


@contextmanager
def clock_at(moment: datetime) -> Iterator[None]:
    """Let Django's `timezone.now` tell this moment, a second later each time it is asked.

    For building the demo only: it changes the clock of the whole process.
    """
    true_clock, told = timezone.now, moment

    def story_clock() -> datetime:
        nonlocal told
        told += timedelta(seconds=1)
        return told

    timezone.now = story_clock
    try:
        yield
    finally:
        timezone.now = true_clock
