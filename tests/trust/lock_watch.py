"""How long tables that people use were shut to them: PostgreSQL is asked again and again from beside."""

import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

PAUSE_SECONDS = 0.02
TABLES = "SELECT oid FROM pg_class WHERE relkind = 'r' AND relnamespace = 'public'::regnamespace"
# Not even a reader passes this lock. One transaction holds it until it ends.
SHUT = (
    "SELECT c.relname, a.pid, a.xact_start FROM pg_locks l JOIN pg_class c ON c.oid = l.relation"
    " JOIN pg_stat_activity a ON a.pid = l.pid"
    " WHERE l.granted AND l.mode = 'AccessExclusiveLock' AND l.relation = ANY(%s)"
    " AND l.database = (SELECT oid FROM pg_database WHERE datname = current_database())"
)


@dataclass
class Seen:
    """By table and transaction, when it was first and last seen shut."""

    times: dict[tuple, tuple[float, float]] = field(default_factory=dict)

    def note(self, shut: list[tuple], now: float) -> None:
        for each in shut:
            first, _ = self.times.get(each, (now, now))
            self.times[each] = first, now

    @property
    def longest(self) -> tuple[float, str]:
        """Seconds, and of which table; a lock may have stood for one look longer at either end."""
        found = [(last - first + 2 * PAUSE_SECONDS, key[0]) for key, (first, last) in self.times.items()]
        return max(found, default=(0.0, "none"))


@contextmanager
def watched_locks(address: str) -> Iterator[Seen]:
    """Of the tables that are there when it begins: nobody waits for one that is only being made."""
    import psycopg  # an extra, which a run on SQLite alone does without

    seen, enough = Seen(), threading.Event()
    with psycopg.connect(address, autocommit=True) as database:
        tables = [oid for (oid,) in database.execute(TABLES).fetchall()]

        def look() -> None:
            while not enough.wait(PAUSE_SECONDS):
                seen.note(database.execute(SHUT, [tables]).fetchall(), time.monotonic())

        watcher = threading.Thread(target=look)
        watcher.start()
        try:
            yield seen
        finally:
            enough.set()
            watcher.join()


def shut_on_purpose(address: str, seconds: float) -> float:
    """What is seen of a table that is shut for so long."""
    import psycopg

    with psycopg.connect(address) as database:
        database.execute("CREATE TABLE IF NOT EXISTS lock_watch_try (id int)")
        database.commit()
        with watched_locks(address) as seen:
            database.execute("LOCK TABLE lock_watch_try IN ACCESS EXCLUSIVE MODE")
            time.sleep(seconds)
            database.rollback()
        database.execute("DROP TABLE lock_watch_try")
    return seen.longest[0]
