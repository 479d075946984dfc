from datetime import date, datetime, timedelta

from django.utils import timezone


def moment_on(on: date) -> datetime:
    """Now, or the same time on another day, so that what is written up later keeps its order."""
    now = timezone.localtime()
    return now + timedelta(days=(on - now.date()).days)
