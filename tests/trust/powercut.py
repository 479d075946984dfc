"""The power cut at hundreds of moments of real traffic, by what the program asked of the disk.

    python -m tests.trust.in_a_shop --folder FOLDER powercut --cuts 400

recorder.c, preloaded into the server, notes each write to the database's files and each wait for the disk;
the clients note in the same log what they were told. A cut is a beginning of that log: what a file was told
before its last wait is there for certain; of later writes none, all, some, or torn ones at 512 bytes are.
The files are put together so, opened as after a restart, and asked for what people were told.
"""

import argparse
import json
import os
import random
import shutil
import struct
import subprocess
import time
from collections.abc import Iterator
from contextlib import closing
from dataclasses import asdict, dataclass, field
from pathlib import Path

from django.db import connection
from django.db.backends.sqlite3.base import Database

from tests.concurrency.served import THE_SHOP
from tests.trust.crash import people_at_work, places_of_work
from tests.trust.nursery import Nursery
from tests.trust.traffic import Act, Traffic

HEAD = struct.Struct("=4q")
WRITTEN, CUT, SETTLED, REMOVED, TOLD = 1, 2, 3, 4, 5
ENDINGS = ("", "-wal", "-journal")  # in the recorder's order
SECTOR = 512
PATIENCE_SECONDS = 120
RECORDER = Path(__file__).with_name("recorder.c")
MONEY_OF = "SELECT amount_minor FROM shop_payment WHERE amount_minor < 900000"
HALVES = (
    "SELECT COUNT(*) FROM shop_payment WHERE id NOT IN (SELECT payment_id FROM shop_receipt)",
    "SELECT COUNT(*) FROM instruments_submission WHERE url = ''",
)


@dataclass
class Outcome:
    cuts: int = 0
    told: int = 0
    settled: int = 0
    damaged: int = 0
    halves: int = 0
    losing: int = 0
    worst_loss: int = 0
    troubles: list[str] = field(default_factory=list)


class Disk:
    """The files of a database as a power cut finds them: what is certain, and what is still on its way."""

    def __init__(self, base: bytes):
        self.certain = [bytearray(base), bytearray(), bytearray()]
        self.on_the_way: list[list[tuple[int, int, bytes]]] = [[], [], []]

    def meet(self, kind: int, file: int, offset: int, content: bytes) -> None:
        if kind == SETTLED:
            for each in self.on_the_way[file]:
                _apply(self.certain[file], *each)
            self.on_the_way[file].clear()
        elif kind in (WRITTEN, CUT, REMOVED):
            self.on_the_way[file].append((kind, offset, content))

    def after_a_cut(self, folder: Path, choose: random.Random) -> Path:
        """Write the files as one of the disks that are possible now would give them back."""
        how = choose.choice(("none", "all", "some", "torn"))
        for number, ending in enumerate(ENDINGS):
            there = bytearray(self.certain[number])
            for kind, offset, content in self.on_the_way[number]:
                if how == "none" or (how != "all" and choose.random() < 0.5):
                    continue
                if how == "torn" and kind == WRITTEN:
                    content = content[: SECTOR * choose.randint(1, max(1, len(content) // SECTOR))]
                _apply(there, kind, offset, content)
            path = folder / f"shop.sqlite3{ending}"
            path.unlink(missing_ok=True)
            if there:
                path.write_bytes(there)
        (folder / "shop.sqlite3-shm").unlink(missing_ok=True)
        return folder / "shop.sqlite3"


def _apply(there: bytearray, kind: int, offset: int, content: bytes) -> None:
    if kind == REMOVED:
        there.clear()
    elif kind == CUT:
        del there[offset:]
        there.extend(bytes(offset - len(there)))
    else:
        there.extend(bytes(max(0, offset - len(there))))
        there[offset : offset + len(content)] = content


def records(log: bytes) -> Iterator[tuple[int, int, int, bytes]]:
    at = 0
    while at + HEAD.size <= len(log):
        kind, file, offset, length = HEAD.unpack_from(log, at)
        at += HEAD.size
        yield kind, file, offset, log[at : at + length]
        at += length


def cut(log: bytes, base: bytes, cuts: int, folder: Path) -> Outcome:
    """So many cuts at random places of the log."""
    every = list(records(log))
    outcome = Outcome(cuts=cuts, told=sum(kind == TOLD for kind, *_ in every))
    outcome.settled = sum(kind == SETTLED for kind, *_ in every)
    choose, disk, told = random.Random(), Disk(base), set()
    moments = iter(sorted(choose.randint(1, len(every)) for _ in range(cuts)))
    moment = next(moments)
    for number, (kind, file, offset, content) in enumerate(every, start=1):
        if kind == TOLD:
            told.add(offset)
        else:
            disk.meet(kind, file, offset, content)
        while moment == number:
            _look(disk.after_a_cut(folder, choose), told, outcome)
            moment = next(moments, None)
    return outcome


def _look(path: Path, told: set[int], outcome: Outcome) -> None:
    try:
        with closing(Database.connect(str(path))) as line:
            (answer,) = line.execute("PRAGMA integrity_check").fetchone()
            if answer != "ok":
                raise Database.DatabaseError(answer)
            kept = {amount for (amount,) in line.execute(MONEY_OF)}
            halves = sum(line.execute(each).fetchone()[0] for each in HALVES)
    except Database.DatabaseError:
        outcome.damaged += 1
        return
    lost = len(told - kept)
    outcome.halves += bool(halves)
    outcome.losing += bool(lost)
    outcome.worst_loss = max(outcome.worst_loss, lost)


def recorded(folder: Path, door: str, seconds: float, outcome_of: list[str]) -> tuple[bytes, bytes]:
    """The log of so much traffic of payments, and the database as it was before."""
    log, library = folder / "recorded", folder / "recorder.so"
    subprocess.run(["gcc", "-O2", "-shared", "-fPIC", "-o", library, RECORDER, "-ldl"], check=True)
    traffic = Traffic(people_at_work(), places_of_work(), kinds=("pay",))
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    connection.close()
    nursery = Nursery(folder, door=door, workers=2, LD_PRELOAD=str(library), RECORD_LOG=str(log))
    base = Path(connection.settings_dict["NAME"]).read_bytes()
    server = nursery.open()
    line = os.open(log, os.O_WRONLY | os.O_APPEND | os.O_CREAT, 0o600)

    def note(act: Act) -> None:
        os.write(line, HEAD.pack(TOLD, 0, act.key, 0))

    traffic.on_acknowledged = note
    try:
        traffic.begin(server.port)
        assert traffic.first_answer.wait(PATIENCE_SECONDS)
        time.sleep(seconds)
        traffic.end()
    finally:
        server.kill_all()
        nursery.close()
        os.close(line)
    outcome_of += traffic.troubles
    return log.read_bytes(), base


def main(words: list[str], folder: Path, cluster) -> None:
    asked = argparse.ArgumentParser(prog="python -m tests.trust.in_a_shop powercut", description=__doc__)
    asked.add_argument("--cuts", type=int, default=400)
    asked.add_argument("--seconds", type=float, default=4)
    asked.add_argument("--door", default=THE_SHOP)
    given = asked.parse_args(words)
    if shutil.which("gcc") is None:
        raise SystemExit("There is no gcc here, which the recorder is built with.")
    troubles: list[str] = []
    log, base = recorded(folder, given.door, given.seconds, troubles)
    after = folder / "after"
    after.mkdir()
    outcome = cut(log, base, given.cuts, after)
    outcome.troubles = troubles
    print(json.dumps(asdict(outcome)))
