"""Minutes of a timer at the bench: rounded once, split at midnight, and doubted when there are too many."""

from datetime import UTC, date, datetime, time, timedelta

MINUTE = timedelta(minutes=1)
LONGEST_MINUTES = 10 * 60  # common practice, no source: longer than that nobody stands at one job


def elapsed_minutes(started: datetime, stopped: datetime) -> int:
    """Whole minutes between two moments that know their time zone, half a minute upward.

    ValueError when the second lies before the first. A clock put forward or back in between changes nothing.
    """
    elapsed = stopped.astimezone(UTC) - started.astimezone(UTC)
    if elapsed < timedelta():
        raise ValueError("A timer cannot stop before it was started.")
    return (elapsed + MINUTE / 2) // MINUTE


def minutes_by_day(started: datetime, stopped: datetime) -> list[tuple[date, int]]:
    """Day and minutes, for each day that has any; together they are `elapsed_minutes`.

    The days are those of the time zone `started` carries. ValueError as in `elapsed_minutes`.
    """
    told, days = 0, []
    day, last = started.date(), stopped.astimezone(started.tzinfo).date()
    while day <= last:
        midnight = datetime.combine(day + timedelta(days=1), time.min, started.tzinfo)
        so_far = elapsed_minutes(started, stopped if day == last else midnight)
        if so_far > told:
            days.append((day, so_far - told))
        told, day = so_far, day + timedelta(days=1)
    return days


def is_forgotten(started: datetime, now: datetime) -> bool:
    """Whether a timer has run for longer than anybody would believe: more than `LONGEST_MINUTES`."""
    return elapsed_minutes(started, now) > LONGEST_MINUTES
