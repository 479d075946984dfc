"""Disk full, disk read-only, database locked or away: what people are told meanwhile, and how soon it heals.

python -m tests.trust.in_a_shop --folder FOLDER faults        FOLDER a small file system of its own
python -m tests.trust.in_a_shop --postgres --folder FOLDER faults
"""

import argparse
import json
import subprocess
import time
from collections.abc import Callable
from contextlib import suppress
from dataclasses import asdict, dataclass, field, replace
from pathlib import Path

from django.db import connection
from django.db.backends.sqlite3.base import Database
from django.urls import reverse

from shop import read_only
from tests.concurrency.callers import Filled
from tests.concurrency.served import THE_SHOP
from tests.journeys.page_forms import forms_on
from tests.trust.audit import Audit, verified
from tests.trust.cluster import Cluster
from tests.trust.crash import people_at_work, places_of_work
from tests.trust.nursery import Nursery
from tests.trust.traffic import Act, Places, Traffic, Visitor

HEALED_WITHIN_SECONDS = 10
TRIES = 400
FULL, LOCKED, AWAY, READING = "disk full", "database locked", "database away", "only reading"
NO_FILES = "files read-only"
WORDS = {
    FULL: "There is no room left",
    NO_FILES: "The files cannot be reached",
    LOCKED: "Too many are saving at once",
    AWAY: "The records cannot be reached",
    READING: "Only reading is possible just now",
}


@dataclass
class Seen:
    """What one trouble looked like from outside."""

    reads: list[int] = field(default_factory=list)
    refused: int = 0
    told: bool = False
    healed_seconds: float = 0.0
    faults: list[str] = field(default_factory=list)


class Scene:
    """Somebody at work while a trouble begins, lasts and ends."""

    def __init__(self, port: int, usernames: list[str], places: Places):
        self.visitor = Visitor(port, usernames[0])
        one = replace(places, promises=places.promises[:1], instruments=places.instruments[:1])
        self.traffic, self.audit = Traffic(usernames, one), Audit(places.promises)
        self.acts: list[Act] = []
        self.reading = [reverse("today"), reverse("stock"), reverse("shop:people")]
        for act in (self._act("pay"), self._act("photo")):
            act.press()  # so that the pages stand open before anything happens
            assert act.is_acknowledged, act.status

    def tried(self, trouble: str, begin: Callable, end: Callable, *, kind: str, reads: int = 200) -> Seen:
        seen = Seen()
        begin()
        try:
            for address in self.reading:
                answer = self.visitor.get(address)
                seen.reads.append(answer.status)
                if answer.status != reads or "Traceback" in answer.page:
                    seen.faults.append(f"{address} was answered {answer.status}")
            act, answer = self._refused(kind)
        finally:
            end()
        seen.refused = answer.status
        seen.told = answer.status == 503 and WORDS[trouble] in answer.page
        if not seen.told:
            seen.faults.append(f"a form was answered {answer.status} in other words")
        self._heal(seen, act, answer)
        seen.faults += [*self.audit.missing(self.acts), *self.audit.halves(self.acts), *verified()]
        return seen

    def _refused(self, kind: str):
        """Pressed until it is refused: a log that has room left takes a few more."""
        for _ in range(TRIES):
            act = self._act(kind)
            answer = act.filled.press()
            act.status = answer.status
            if not act.is_acknowledged:
                break
        return act, answer

    def _heal(self, seen: Seen, act: Act, answer) -> None:
        """By the button of the page that refused it, where it has one; a file is chosen again."""
        forms = forms_on(answer.page, act.filled.address) if answer.status == 503 else []
        if forms and type(act.filled) is Filled:
            act.filled = Filled(self.visitor, forms[0].action, forms[0].standing())
        begun = time.monotonic()
        while not act.is_acknowledged and time.monotonic() < begun + HEALED_WITHIN_SECONDS * 3:
            act.press()
        seen.healed_seconds = round(time.monotonic() - begun, 2)
        if not act.is_acknowledged or seen.healed_seconds > HEALED_WITHIN_SECONDS:
            seen.faults.append(f"healed after {seen.healed_seconds} s")
        for address in self.reading:
            if (status := self.visitor.get(address).status) != 200:
                seen.faults.append(f"{address} was answered {status} afterwards")

    def _act(self, kind: str) -> Act:
        key, filled = getattr(self.traffic, f"_{kind}")(self.visitor)
        self.acts.append(Act(kind, key, filled))
        return self.acts[-1]


class Disk:
    """The small file systems that the shop and its files lie on."""

    def __init__(self, folder: Path):
        self.media = folder / "media"
        self.fillers = [folder / "filler", self.media / "filler"]

    def fill(self) -> None:
        for filler in self.fillers:
            with suppress(OSError), filler.open("wb", buffering=0) as target:
                while True:
                    target.write(b"x" * 4096)

    def free(self) -> None:
        for filler in self.fillers:
            filler.unlink()

    def remount(self, how: str) -> None:
        subprocess.run(["mount", "-o", f"remount,{how}", str(self.media)], check=True)


class Lock:
    """Another program that writes for too long."""

    def take(self) -> None:
        self.line = Database.connect(connection.settings_dict["NAME"], isolation_level=None)
        self.line.execute("BEGIN EXCLUSIVE")

    def leave(self) -> None:
        self.line.close()


def troubles(scene: Scene, folder: Path, cluster: Cluster | None) -> dict[str, Seen]:
    seen = {
        READING: scene.tried(
            READING, lambda: read_only.begin("a backup is brought back"), read_only.end, kind="pay"
        )
    }
    if cluster is not None:
        seen[AWAY] = scene.tried(
            AWAY, lambda: (connection.close(), cluster.kill()), cluster.start, kind="pay", reads=503
        )
        return seen
    disk, lock = Disk(folder), Lock()
    seen[LOCKED] = scene.tried(LOCKED, lock.take, lock.leave, kind="pay")
    if folder.is_mount():
        seen[f"{FULL}, a photograph"] = scene.tried(FULL, disk.fill, disk.free, kind="photo")
        seen[f"{FULL}, a payment"] = scene.tried(FULL, disk.fill, disk.free, kind="pay")
    if (folder / "media").is_mount():
        seen[NO_FILES] = scene.tried(
            NO_FILES, lambda: disk.remount("ro"), lambda: disk.remount("rw"), kind="photo"
        )
    return seen


def main(words: list[str], folder: Path, cluster: Cluster | None) -> None:
    asked = argparse.ArgumentParser(prog="python -m tests.trust.in_a_shop faults", description=__doc__)
    asked.add_argument("--door", default=THE_SHOP)
    given = asked.parse_args(words)
    usernames, places = people_at_work(), places_of_work()
    nursery = Nursery(folder, door=given.door, workers=2)
    server = nursery.open()
    try:
        seen = troubles(Scene(server.port, usernames, places), folder, cluster)
    finally:
        server.kill_all()
        nursery.close()
    connection.close()
    print(json.dumps({trouble: asdict(each) for trouble, each in seen.items()}))
