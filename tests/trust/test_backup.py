"""Backups taken while people work, each brought back; and what a careless backup would have lost.

WRESTPLANK_BACKUPS says how many are taken (the board asks for 20).
"""

import os
import shutil
import sqlite3
import time
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing, contextmanager
from dataclasses import replace
from pathlib import Path
from threading import Event

import pytest
from django.core.management import CommandError, call_command
from django.db import connection
from django.utils import timezone

from shop.backup import snapshots, taking
from shop.backup.manifest import DATABASE
from tests import make
from tests.concurrency.callers import Caller, each
from tests.concurrency.races import trial_filled_in
from tests.concurrency.served import address_of_the_test_database, served
from tests.trust.sites import Site, differences, new_site

pytestmark = [pytest.mark.django_db(transaction=True), pytest.mark.both]
LONG = "WRESTPLANK_BACKUPS" in os.environ
BACKUPS = int(os.environ.get("WRESTPLANK_BACKUPS", 2 if connection.vendor == "sqlite" else 1))
AT_ONCE = 3
GUARDED = sqlite3.IntegrityError
STARTED = "SELECT number FROM shop_trial WHERE state <> 'draft'"


class Load:
    """Trials that start one after the other: each takes money, gives a receipt, prints and keeps a paper."""

    def __init__(self, forms: dict):
        self.waiting, self.pressed, self.told = list(forms.items()), set(), set()
        self.enough = Event()

    def press_one(self) -> None:
        number, form = self.waiting.pop()
        self.pressed.add(number)
        answer = form.press()
        assert answer.status == 302, answer.page
        self.told.add(number)

    def press_on(self) -> None:
        while self.waiting and not self.enough.is_set():
            self.press_one()
            time.sleep(0.05)

    @contextmanager
    def going(self):
        with ThreadPoolExecutor(AT_ONCE) as pool:
            at_work = [pool.submit(self.press_on) for _ in range(AT_ONCE)]
            try:
                yield
            finally:
                self.enough.set()
        for each_of in at_work:
            each_of.result()
        self.enough.clear()


@pytest.fixture
def at_work(tmp_path, settings, seller):
    """A served shop and so many trials that wait to be started."""
    settings.MEDIA_ROOT = tmp_path / "media"
    with served(tmp_path) as server:
        yield lambda count: Load(dict(each([form_of(server, seller, n) for n in range(count)])))


def form_of(server, seller, n: int):
    """How a form is filled in, for a trial of somebody new, at a browser of its own."""
    person, today = make.make_person(name=f"P {n}"), timezone.localdate()
    trial = make.make_trial(instrument=make.make_instrument(), person=person, on=today)
    caller = Caller(server.port, seller)
    return lambda: (trial.number, trial_filled_in(caller, trial))


def back_up(path: Path) -> Path:
    call_command("backup", path, verbosity=0)
    return path


def started_in(site: Site) -> set[str]:
    if site.database.startswith("sqlite"):
        with closing(sqlite3.connect(site.folder / "shop.sqlite3")) as database:
            return {number for (number,) in database.execute(STARTED)}
    import psycopg

    with psycopg.connect(site.database) as database:
        return {number for (number,) in database.execute(STARTED).fetchall()}


def test_each_backup_under_load_comes_back_with_all_that_was_told_and_every_file(at_work, tmp_path):
    kept, load = [], at_work(6 + 6 * BACKUPS)
    with load.going():
        for n in range(BACKUPS):
            before = set(load.told)
            path = back_up(tmp_path / f"{n}.tar")
            kept.append((path, before, set(load.pressed)))
            time.sleep(0.2)
    assert load.told
    vendor = connection.vendor

    def comes_back(n: int) -> None:
        path, before, pressed = kept[n]
        with new_site(tmp_path / f"back{n}", vendor) as site:
            site.run("restore", str(path))  # it ends by `verify`, and badly where that finds a fault
            assert before <= started_in(site) <= pressed

    with ThreadPoolExecutor(os.cpu_count()) as pool:
        list(pool.map(comes_back, range(BACKUPS)))


def test_quiet_backup_comes_back_equal_in_every_table_and_every_file(at_work, tmp_path):
    if connection.vendor == "postgresql" and not LONG:
        pytest.skip("its tables are made anew each time, which is for the long run")
    at_work(1).press_one()
    here = Site(tmp_path, address_of_the_test_database(), tmp_path / "media")
    path = back_up(tmp_path / "quiet.tar")
    mine = here.print()
    for vendor in ("sqlite", "postgresql") if LONG else ("sqlite",):
        with new_site(tmp_path / vendor, vendor) as other:
            other.run("restore", str(path))
            assert differences(mine, other.print()) == []
            if vendor == "sqlite":
                stands_again(other, path)


def stands_again(site: Site, path: Path) -> None:
    """Nobody restores over it by mistake, and what is only ever added to is so again."""
    refused = site.run("restore", str(path), check=False)
    assert "There is a shop here already" in refused.stderr and refused.returncode
    assert "All as it was written" in site.run("restore", str(path), "--over", "Our shop").stdout
    with closing(sqlite3.connect(site.folder / "shop.sqlite3")) as database:
        found = """SELECT COUNT(*) FROM shop_person_words WHERE shop_person_words MATCH '"p 0"'"""
        people = "SELECT COUNT(*) FROM shop_person WHERE search_text LIKE '%p 0%'"
        assert database.execute(found).fetchone() == database.execute(people).fetchone() != (0,)
        with pytest.raises(GUARDED):
            database.execute("UPDATE shop_payment SET amount_minor = 1")


def test_files_copied_before_the_database_are_missed(at_work, tmp_path, monkeypatch):
    """What the order of a backup guards against: a row names a file that came after."""
    load = at_work(2)
    load.press_one()
    careful = snapshots.snapshot

    @contextmanager
    def files_first(place, say):
        with careful(place, say) as moment:
            early = moment.contents()
        for part in place.glob("*.sqlite3"):
            part.unlink()
        load.press_one()
        with careful(place, say) as late:
            yield replace(late, contents=lambda: replace(late.contents(), file_names=early.file_names))

    monkeypatch.setattr(taking, "snapshot", files_first)
    path = back_up(tmp_path / "careless.tar")
    if connection.vendor == "sqlite":
        with new_site(tmp_path / "back", "sqlite") as site:
            came = site.run("restore", str(path), check=False)
        assert "the file cannot be read" in came.stdout and came.returncode == 1


@pytest.mark.skipif(connection.vendor != "sqlite", reason="PostgreSQL is not copied as a file")
def test_plain_copy_of_the_database_loses_what_was_told(at_work, tmp_path, monkeypatch):
    """Not always: now and then SQLite has just tidied its log away. So it is tried a few times."""

    def plain_copy(place, say):
        shutil.copyfile(connection.settings_dict["NAME"], place / DATABASE)
        with closing(sqlite3.connect(place / DATABASE)) as database:
            numbers.append({number for (number,) in database.execute(STARTED)})
        raise CommandError("That is enough.")

    numbers: list[set[str]] = []
    monkeypatch.setattr(snapshots, "_of_sqlite", plain_copy)
    load = at_work(3)
    for n in range(3):
        load.press_one()
        told = set(load.told)
        with pytest.raises(CommandError):
            back_up(tmp_path / f"plain{n}.tar")
        if told - numbers[-1]:
            return
    raise AssertionError("Every plain copy held all that was told; this control controls nothing.")
