"""Bars 12 and 15: backups taken under load and brought back, and changes of the tables of a large shop."""

import os
import random
import signal
import subprocess
import sys
import tempfile
import time
from contextlib import nullcontext
from pathlib import Path

from tests.trust.board import TREE, Figure, measures, pytest_counts
from tests.trust.lock_watch import shut_on_purpose, watched_locks
from tests.trust.sites import SERVER, Site, drop_copy, fill, keep_copy, new_site, put_back

BACKUPS, LARGE, SMALL = 20, 100_000, 1_000
BACKUP_SECONDS, RESTORE_SECONDS, CUTS = 5, 60, 5
FORWARD_SECONDS, LOCK_SECONDS, SHUT_SECONDS = 60, 2, 0.5
CONTROL = (
    "files before the database: `verify` misses one; the SQLite file copied plainly: what was told is "
    "missing (both in test_backup.py); a byte turned anywhere, a name changed: refused (test_archive.py)"
)
# The state that the changes are measured from.
BACK_TO = (("shop", "0034"), ("instruments", "0012"))


@measures(12)
def backups_under_load(long: bool) -> Figure:
    count = BACKUPS if long else 3
    said, met = [], True
    for database in ("", SERVER):
        env = {"WRESTPLANK_BACKUPS": str(count), "DATABASE_URL": database}
        passed, failed, _ = pytest_counts("tests/trust/test_backup.py", "-n", "0", env=env)
        met = met and not failed
        kind = "PostgreSQL" if database else "SQLite"
        said.append(
            f"{kind}: {count} backups under load brought back, tests {passed} passed, {failed} failed"
        )
    passed, failed, _ = pytest_counts("tests/shop/backup", "-n", "0")
    took, brought, rows = _sizes(LARGE if long else SMALL)
    met = met and not failed and long and took <= BACKUP_SECONDS and brought <= RESTORE_SECONDS
    size = LARGE if long else SMALL
    said.append(f"{size:,} instruments ({rows}): backup {took:.1f} s, restore {brought:.1f} s")
    return Figure("; ".join(said), met, CONTROL)


def _sizes(size: int) -> tuple[float, float, str]:
    """On SQLite, whole commands with the start of Python; the rows are the bench's, without their files."""
    with tempfile.TemporaryDirectory() as name, new_site(Path(name) / "large", "sqlite") as site:
        fill(site, size)
        path = Path(name) / "large.tar"
        took, said = _timed(site, "backup", str(path), "-v", "0")
        with new_site(Path(name) / "back", "sqlite") as back:
            brought, _ = _timed(back, "restore", str(path), "--verify-later", "-v", "0")
        return took, brought, said.partition(": ")[2].partition(" and ")[0]


def _timed(site: Site, *words: str) -> tuple[float, str]:
    begun = time.monotonic()
    said = site.run(*words).stdout
    return time.monotonic() - begun, said


@measures(15)
def changes_of_the_tables(long: bool) -> Figure:
    """Back to an earlier state and forward again on a filled shop, then forward with the process killed."""
    size, said, met, control = LARGE if long else SMALL, [], long, ""
    for vendor in ("sqlite", "postgresql"):
        with tempfile.TemporaryDirectory() as name, new_site(Path(name) / "tables", vendor) as site:
            fill(site, size)
            _go_back(site)
            earlier = keep_copy(site)
            of_postgres = vendor == "postgresql"
            with watched_locks(site.database) if of_postgres else nullcontext() as locks:
                seconds, _ = _timed(site, "migrate", "-v", "0")
            stopped = list(filter(None, (_killed_and_run_again(site, earlier, seconds) for _ in range(CUTS))))
            drop_copy(earlier)
            cuts = CUTS - len(stopped)
            said.append(f"{vendor}: forward in {seconds:.1f} s, {cuts} of {CUTS} runs cut off went on")
            said.extend(stopped)
            met = met and not stopped
            if of_postgres:
                shut, table = locks.longest
                said.append(f"a table was shut for {shut:.2f} s at most ({table})")
                seen = shut_on_purpose(site.database, SHUT_SECONDS)
                control = f"a table shut on purpose for {SHUT_SECONDS} s is seen shut for {seen:.2f} s"
                met = met and shut <= LOCK_SECONDS and seen >= SHUT_SECONDS / 2
            else:
                met = met and seconds <= FORWARD_SECONDS
    words = f"{size:,} instruments, from {' '.join('/'.join(each) for each in BACK_TO)}; " + "; ".join(said)
    return Figure(words, met, control)


def _go_back(site: Site) -> None:
    for app, name in BACK_TO:
        site.run("migrate", app, name, "-v", "0")


def _killed_and_run_again(site: Site, earlier: str, seconds: float) -> str:
    """Why it did not go on after it was killed; nothing when it did."""
    put_back(site, earlier)
    command = [sys.executable, "manage.py", "migrate", "-v", "0"]
    going = subprocess.Popen(command, cwd=TREE, env=site.environment, stdout=subprocess.DEVNULL, stderr=-3)
    time.sleep(after := random.uniform(0.2, 1.0) * seconds)
    os.kill(going.pid, signal.SIGKILL)
    going.wait()
    for words in (("migrate", "-v", "0"), ("check", "--database", "default")):
        again = site.run(*words, check=False)
        if again.returncode:
            last = (again.stderr or again.stdout).strip().rpartition("\n")[2]
            return f"cut off after {after:.1f} s, {words[0]} said: {last}"
    return ""
