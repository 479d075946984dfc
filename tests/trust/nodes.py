"""Two nodes of one shop: each with a folder of its own, before one PostgreSQL and one object store.

    WRESTPLANK_S3_BUCKET=… python -m tests.trust.in_a_shop --postgres nodes --folder FOLDER --kills 24

People sign in on one node and act on either. A node is killed about once a second, each in turn, and starts
again at once. What was not answered, or was answered with a fault, is sent once more, under the same form
token, to the other node: what a balancer in front of them does, and the outbox of a device. Then every act
that was told “done” is looked for, and every file is read.

Nobody is sent to a node that does not say yet, at /readyz, that it is ready; and the next one is killed when
the last is back, at the soonest.
"""

import argparse
import json
import random
import time
from collections import defaultdict
from collections.abc import Iterable
from contextlib import suppress
from dataclasses import asdict, dataclass, field
from functools import partial
from http.client import HTTPConnection
from pathlib import Path

from django.db import connection
from django.urls import reverse

from instruments.models import Photo
from shop.demo.serve import HOST
from tests.concurrency.served import ROOT, THE_SHOP
from tests.trust.audit import Audit, verified
from tests.trust.crash import PATIENCE_SECONDS, fill_up, people_at_work, places_of_work
from tests.trust.nursery import Nursery, Server
from tests.trust.traffic import LINE_FAILED, WEIGHTS, Act, PageRefused, Places, Traffic, Visitor

NAMES, WORKERS, CALLERS = ("node-a", "node-b"), 2, 6
BETWEEN_KILLS_SECONDS = 1.04  # 24 of them in 25 seconds
MOST_TRIES = 40
ROUNDS_OF_WORK = 4
PAUSE_SECONDS = 0.02


@dataclass
class Outcome:
    kills: int = 0
    seconds: float = 0.0
    acknowledged: int = 0
    sent_again: int = 0
    failures_seen: int = 0
    p50_ms: float = 0.0
    p99_ms: float = 0.0
    longest_ms: float = 0.0
    faults: list[str] = field(default_factory=list)


class Nodes:
    """Those that say they are ready; `other` is the one to turn to when one did not answer."""

    def __init__(self, folder: Path, door: str = THE_SHOP, tree: Path = ROOT):
        self.folders = [folder / name for name in NAMES]
        for each in self.folders:
            each.mkdir(exist_ok=True)
        self.nurseries = [Nursery(each, door=door, workers=WORKERS, tree=tree) for each in self.folders]
        self.servers: list[Server] = [each.open() for each in self.nurseries]
        try:
            for each in self.servers:
                wait_until_ready(each.port)
        except RuntimeError:
            self.close()
            raise
        self.ready = [each.port for each in self.servers]

    def any(self) -> int:
        return random.choice(self.ready)

    def other(self, port: int) -> int:
        return next((each for each in self.ready if each != port), port)

    def kill(self, number: int) -> None:
        """It is missed when somebody turns to it, and turned to again when it says it is ready."""
        killed = self.servers[number]
        killed.kill_all()
        self.ready = [each for each in self.ready if each != killed.port]
        self.servers[number] = self.nurseries[number].open()
        wait_until_ready(self.servers[number].port)
        self.ready = [*self.ready, self.servers[number].port]

    def replace(self, number: int, tree: Path) -> None:
        """Nobody is sent to it any more; it answers what it has begun, then another release stands there."""
        leaving = self.servers[number]
        self.ready = [each for each in self.ready if each != leaving.port]
        leaving.end()
        self.nurseries[number].close()
        self.nurseries[number] = Nursery(self.folders[number], workers=WORKERS, tree=tree)
        self.servers[number] = self.nurseries[number].open()
        wait_until_ready(self.servers[number].port)
        self.ready = [*self.ready, self.servers[number].port]

    def close(self) -> None:
        for server in self.servers:
            server.kill_all()
        for each in self.nurseries:
            each.close()


def wait_until_ready(port: int) -> None:
    until = time.monotonic() + PATIENCE_SECONDS
    while time.monotonic() < until:
        line = HTTPConnection(HOST, port, timeout=PATIENCE_SECONDS)
        with suppress(*LINE_FAILED):
            line.request("GET", reverse("readiness"))
            if line.getresponse().status == 200:
                return
        line.close()
        time.sleep(PAUSE_SECONDS)
    raise RuntimeError("A node was not ready in time.")


class Balanced(Traffic):
    """Each request goes to either node, and to the other where the first did not answer.

    `refused` counts what a node answered with a fault or in place of a form, tried elsewhere or not.
    """

    nodes: Nodes
    sendings = MOST_TRIES
    again = unanswered = refused = 0

    def begin_on(self, nodes: Nodes) -> None:
        self.nodes = nodes
        self.visitors = [Visitor(nodes.any(), username) for username in self.usernames]
        self.begin(nodes.any())

    def _act(self, visitor: Visitor) -> Act | None:
        for _ in range(MOST_TRIES):
            visitor.port = self.nodes.any()
            try:
                act = super()._act(visitor)
            except (*LINE_FAILED, PageRefused) as error:
                self.refused += isinstance(error, PageRefused)
                time.sleep(PAUSE_SECONDS)
                continue
            if act is not None:
                act.press = partial(self._press, act)
            return act
        return None

    def _press(self, act: Act) -> None:
        begun, caller = time.monotonic(), act.filled.caller
        caller.port = self.nodes.any()
        for tries in range(self.sendings):
            act.status = 0
            Act.press(act)
            self.refused += act.status >= 500
            if act.status and act.status < 500:
                break
            self.again += 1
            caller.port = self.nodes.other(caller.port)
            time.sleep(PAUSE_SECONDS if tries else 0)
        act.seconds = time.monotonic() - begun
        self.unanswered += not act.is_acknowledged


def run(folder: Path, *, kills: int, door: str, kinds: tuple[str, ...], sendings: int, stop: bool) -> Outcome:
    usernames, places = people_at_work()[:CALLERS], places_of_work()
    places.once_only |= enough_for_the_whole_run(places, kinds)
    audit, outcome = Audit(places.promises), Outcome()
    traffic, nodes = Balanced(usernames, places, kinds), Nodes(folder, door)
    traffic.sendings = sendings
    try:
        traffic.begin_on(nodes)
        begun = time.monotonic()
        for number in range(kills):
            time.sleep(max(0.0, begun + (number + 1) * BETWEEN_KILLS_SECONDS - time.monotonic()))
            nodes.kill(number % 2)
            outcome.kills += 1
            if stop and (traffic.unanswered or traffic.troubles or across(nodes, usernames[0])):
                break
        outcome.seconds = round(time.monotonic() - begun, 1)
        traffic.end()
        outcome.faults += traffic.troubles
        outcome.faults += across(nodes, usernames[0])
    finally:
        traffic.stopped.set()
        nodes.close()
    acts = traffic.acts
    outcome.acknowledged = sum(act.is_acknowledged for act in acts)
    outcome.sent_again, outcome.failures_seen = traffic.again, traffic.unanswered
    taken = sorted(act.seconds * 1000 for act in acts) or [0.0]
    outcome.p50_ms, outcome.longest_ms = round(taken[len(taken) // 2]), round(taken[-1])
    outcome.p99_ms = round(taken[int(len(taken) * 0.99)])
    outcome.faults += [*audit.missing(acts), *audit.halves(acts), *verified()]
    return outcome


def enough_for_the_whole_run(places: Places, kinds: Iterable[str]) -> dict[str, list]:
    """Laid out before anybody begins: a row that is only just being written is not there for others yet."""
    lots = defaultdict(list)
    for _ in range(ROUNDS_OF_WORK):
        fill_up(places, kinds)
        for kind in list(places.once_only):
            lots[kind] += places.once_only.pop(kind)
    return lots


def across(nodes: Nodes, username: str) -> list[str]:
    """Signed in on one node, both show the same photograph; a stranger is shown none by either."""
    photo = Photo.objects.order_by("-id").first()
    if photo is None:
        return []
    faults, (first, second) = [], (each.port for each in nodes.servers)
    address = reverse("instruments:photo_file", args=[photo.instrument.stock_number, photo.pk, "thumb"])
    visitor = Visitor(first, username)
    seen = []
    for port in (first, second):
        visitor.port = port
        seen.append(_bytes_of(visitor, address))
        visitor.cookies, kept = {}, visitor.cookies
        if _bytes_of(visitor, address)[0] != 302:
            faults.append("a stranger was shown a photograph")
        visitor.cookies = kept
    if seen[0] != seen[1] or seen[0][0] != 200:
        faults.append(f"a photograph is not the same on both nodes: {[status for status, _ in seen]}")
    return faults


def _bytes_of(visitor: Visitor, address: str) -> tuple[int, bytes]:
    line = visitor._line()
    line.request("GET", address, headers=visitor._headers())
    answer = line.getresponse()
    content = answer.read()
    line.close()
    return answer.status, content if answer.status == 200 else b""


def main(words: list[str], folder: Path, cluster) -> None:
    asked = argparse.ArgumentParser(prog="python -m tests.trust.in_a_shop nodes", description=__doc__)
    asked.add_argument("--kills", type=int, default=24)
    asked.add_argument("--door", default=THE_SHOP)
    asked.add_argument("--kinds", default=",".join(WEIGHTS))
    asked.add_argument("--sendings", type=int, default=MOST_TRIES)
    asked.add_argument("--stop", action="store_true", help="at the first kill after which something is seen")
    given = asked.parse_args(words)
    given.kinds = tuple(given.kinds.split(","))
    outcome = run(folder, **vars(given))
    connection.close()
    print(json.dumps(asdict(outcome)))
