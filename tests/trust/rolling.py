r"""A new release rolled out while people work: the tables are changed first, then one node after the other.

    python -m tests.trust.in_a_shop --postgres --folder FOLDER --release OLDER \
        rolling --older OLDER --newer NEWER

The older release makes the tables, lays out the shop and opens both nodes. Then the newer one changes the
tables under them, takes the place of the first node, then of the second; last the first goes back to the
older release, which has to live with the newer tables until there is a mended version. Nobody is sent to a
node that is on its way out; it answers what it has begun.

All that while people fill in forms and read every page that could be read at the beginning, with static files
that it links, and no answer may be a fault. A file may be of a release that the node asked does not have:
then the other is asked, as in several_machines.md.
"""

import argparse
import json
import os
import random
import re
import shutil
import subprocess
import sys
import threading
import time
from collections import defaultdict
from contextlib import closing, suppress
from dataclasses import asdict, dataclass, field
from http.client import HTTPConnection
from pathlib import Path

from django.db import DatabaseError, connection
from django.urls import reverse

from shop.demo.serve import HOST
from tests.access_table import ACCESS
from tests.test_access import addresses
from tests.trust.audit import Audit, verified
from tests.trust.crash import PATIENCE_SECONDS
from tests.trust.in_a_shop import manage
from tests.trust.nodes import NAMES, Balanced, Nodes, across
from tests.trust.traffic import LINE_FAILED, Act, Places, Visitor

SETTLED_SECONDS, FILES_A_PAGE, CALLERS = 3.0, 2, 4
FILES = re.compile(r'(?:href|src)="(/static/[^"]+)"')
# Longer than this the change of tables keeps nobody waiting: it gives up, and is run again. PostgreSQL looks
# after a second for two that wait for each other, and lets the one give way who looks first.
LOCK_WAIT, GIVE_UP_AFTER = "500ms", 10
# Run by the older release over its own tables.
LAY_OUT = """
import json, django
django.setup()
from tests.trust.crash import fill_up, people_at_work, places_of_work
usernames, places = people_at_work(), places_of_work()
lots = {}
for _ in range(6):
    fill_up(places)
    for kind in list(places.once_only):
        lots.setdefault(kind, []).extend(places.once_only.pop(kind))
print(json.dumps([usernames, vars(places) | {"once_only": lots}]))
"""


@dataclass
class Outcome:
    migrate_seconds: float = 0.0
    seconds: float = 0.0
    acknowledged: int = 0
    read: int = 0
    files_read: int = 0
    files_of_the_other: int = 0
    pages: int = 0
    sent_again: int = 0
    failures_seen: int = 0
    longest_ms: float = 0.0
    faults: list[str] = field(default_factory=list)


def collect(folder: Path, tree: Path) -> None:
    """The static files of the release in `tree`, beside those of others that a node has served."""
    collected = folder.parent / f"static-of-{tree.name}"  # the same on each node, so done once
    if not collected.exists():
        manage(tree, "collectstatic", "--noinput", "--verbosity", "0", WRESTPLANK_DATA=str(collected))
    shutil.copytree(collected / "static", folder / "static", dirs_exist_ok=True)


class Reader:
    """Turns over all pages until `stopped`; `faults` are those that could be read before and cannot now."""

    def __init__(self, nodes: Nodes, username: str, places: Places, stopped: threading.Event):
        self.nodes, self.visitor, self.stopped = nodes, Visitor(nodes.any(), username), stopped
        self.read = self.files_read = self.files_of_the_other = 0
        self.faults: list[str] = []
        self.pages = [each for each in pages_of(places) if self._status(each) == 200]
        self.thread = threading.Thread(target=self._turn_over)

    def _turn_over(self) -> None:
        while not self.stopped.is_set():
            for page in self.pages:
                if self.stopped.is_set():
                    return
                self.read += 1
                if (status := self._status(page)) != 200:
                    self.faults.append(f"{page} was answered {status}")
                for file in random.sample(self.files, min(FILES_A_PAGE, len(self.files))):
                    self._read_file(file)

    def _status(self, page: str) -> int:
        """From either node; from the other where the first did not answer; 0 when neither did."""
        self.visitor.port = self.nodes.any()
        for _ in self.nodes.servers:
            with suppress(*LINE_FAILED, UnicodeDecodeError):
                answer = self.visitor.get(page)
                self.files = FILES.findall(answer.page)
                return answer.status
            self.visitor.port = self.nodes.other(self.visitor.port)
        return 0

    def _read_file(self, address: str) -> None:
        self.files_read += 1
        first = self.nodes.any()
        if self._has_file(first, address):
            return
        self.files_of_the_other += 1
        if not self._has_file(self.nodes.other(first), address):
            self.faults.append(f"{address} is on neither node")

    def _has_file(self, port: int, address: str) -> bool:
        line = HTTPConnection(HOST, port, timeout=PATIENCE_SECONDS)
        with suppress(*LINE_FAILED), closing(line):
            line.request("GET", address)
            answer = line.getresponse()
            answer.read()
            return answer.status == 200
        return False


def pages_of(places: Places) -> list[str]:
    plain = [
        reverse(name)
        for name, (method, _) in ACCESS.items()
        if method == "GET" and not addresses()[name].pattern.converters
    ]
    return [
        *plain,
        *(reverse("instrument", args=[each]) for each in places.instruments),
        *(reverse("shop:person_page", args=[each]) for each in places.people),
        *(reverse("shop:payment_take", args=[each]) for each in places.promises),
    ]


def laid_out(older: Path) -> tuple[list[str], Places]:
    done = subprocess.run(
        [sys.executable, "-c", LAY_OUT],
        cwd=older,
        env=os.environ | {"PYTHONPATH": str(older), "DJANGO_SETTINGS_MODULE": "shop.settings"},
        capture_output=True,
        text=True,
    )
    if done.returncode:
        raise RuntimeError(f"The older release could not lay out a shop: {done.stderr[-2000:]}")
    usernames, places = json.loads(done.stdout.splitlines()[-1])
    return usernames, Places(**places | {"once_only": defaultdict(list, places["once_only"])})


def change_the_tables(newer: Path) -> float:
    """As OPERATIONS.md says it: without waiting for a lock for long, and once more where it was not had."""
    os.environ["PGOPTIONS"] = f"-c lock_timeout={LOCK_WAIT}"
    begun = time.monotonic()
    try:
        for turn in range(GIVE_UP_AFTER):
            try:
                manage(newer, "migrate", "--verbosity", "0")
                break
            except subprocess.CalledProcessError:
                if turn == GIVE_UP_AFTER - 1:
                    raise
        manage(newer, "prepare_shop")
    finally:
        del os.environ["PGOPTIONS"]
    return time.monotonic() - begun


def run(folder: Path, *, older: Path, newer: Path, replacing: bool = True) -> Outcome:
    usernames, places = laid_out(older)
    usernames = usernames[:CALLERS]
    audit, outcome, traffic = Audit(places.promises), Outcome(), Balanced(usernames, places)
    for name in NAMES:
        (folder / name).mkdir()
        collect(folder / name, older)
    nodes = Nodes(folder, tree=older)
    try:
        reader = Reader(nodes, usernames[0], places, traffic.stopped)
        begun = time.monotonic()
        traffic.begin_on(nodes)
        reader.thread.start()
        time.sleep(SETTLED_SECONDS)
        outcome.migrate_seconds = round(change_the_tables(newer), 1)
        time.sleep(SETTLED_SECONDS)
        for number, tree in ((0, newer), (1, newer), (0, older)) if replacing else ():
            collect(nodes.folders[number], tree)
            nodes.replace(number, tree)
            time.sleep(SETTLED_SECONDS)
        traffic.end()
        reader.thread.join()
        outcome.seconds = round(time.monotonic() - begun, 1)
        outcome.faults += [*traffic.troubles, *reader.faults, *across(nodes, usernames[0])]
    finally:
        traffic.stopped.set()
        nodes.close()
    acts = traffic.acts
    outcome.acknowledged = sum(act.is_acknowledged for act in acts)
    outcome.read, outcome.pages, outcome.sent_again = reader.read, len(reader.pages), traffic.again
    outcome.files_read, outcome.files_of_the_other = reader.files_read, reader.files_of_the_other
    outcome.failures_seen = traffic.unanswered + traffic.refused + len(reader.faults)
    outcome.longest_ms = round(max((act.seconds * 1000 for act in acts), default=0))
    outcome.faults += looked_through(audit, acts)
    return outcome


def looked_through(audit: Audit, acts: list[Act]) -> list[str]:
    try:
        return [*audit.missing(acts), *audit.halves(acts), *verified()]
    except DatabaseError as error:
        return [f"the record cannot be read: {error}"]


def main(words: list[str], folder: Path, cluster) -> None:
    asked = argparse.ArgumentParser(prog="python -m tests.trust.in_a_shop rolling", description=__doc__)
    asked.add_argument("--older", type=Path, required=True)
    asked.add_argument("--newer", type=Path, required=True)
    asked.add_argument("--tables-alone", action="store_true", help="leave the older release on both nodes")
    given = asked.parse_args(words)
    outcome = run(folder, older=given.older, newer=given.newer, replacing=not given.tables_alone)
    connection.close()
    print(json.dumps(asdict(outcome)))
