"""The program killed at random under load, as often as asked, and what is found after each kill.

    python -m tests.trust.in_a_shop crash --folder FOLDER --kills 40

A killed process loses nothing that the machine already has: this sees whether acts are whole, not whether
they are durable. Durability is the power cut's (powercut.py).
"""

import argparse
import json
import random
import time
from collections.abc import Iterable
from dataclasses import asdict, dataclass, field
from pathlib import Path

from django.contrib.auth.models import Group, User
from django.db import connection, transaction
from django.utils import timezone

from shop.actions.roles import load_roles
from shop.actions.sales import sell
from shop.security.hashers import ModestArgon2PasswordHasher
from tests import make
from tests.concurrency.served import THE_SHOP
from tests.trust.audit import Audit, strays_cleared, verified
from tests.trust.cluster import Cluster
from tests.trust.nursery import Nursery, Server
from tests.trust.traffic import PASSWORD, PRICE_MINOR, WEIGHTS, Act, Places, Traffic

WORKERS, CALLERS = 2, 8
SOONEST_SECONDS, LATEST_SECONDS = 0.08, 0.5
PATIENCE_SECONDS = 120
ENOUGH = {"close": 60, "trial": 12, "sale": 12}


@dataclass
class Outcome:
    """What so many kills came to. `faults` are sentences; an empty list is what is hoped for."""

    kills: int = 0
    sent: int = 0
    acknowledged: int = 0
    in_flight: int = 0
    in_flight_kept: int = 0
    restart_seconds: list[float] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)
    strays: int = 0
    strays_left: int = 0


class Loop:
    """A shop with people at work in it, over the database that Django stands on now."""

    def __init__(self, folder: Path, *, door: str = THE_SHOP, kinds: tuple[str, ...] = tuple(WEIGHTS)):
        self.nursery = Nursery(folder, door=door, workers=WORKERS)
        self.usernames, self.places = people_at_work(), places_of_work()
        fill_up(self.places)
        self.audit = Audit(self.places.promises)
        self.traffic = Traffic(self.usernames, self.places, kinds)
        self.outcome = Outcome()

    def run(self, kills: int, *, stop_at_a_fault: bool = False) -> Outcome:
        server = self.nursery.open()
        try:
            for _ in range(kills):
                server = self._kill_once(server)
                if stop_at_a_fault and self.outcome.faults:
                    break
        finally:
            server.kill_all()
            self.nursery.close()
        self.outcome.faults += self.traffic.troubles
        self.outcome.strays, self.outcome.strays_left = strays_cleared()
        self.outcome.faults += verified()
        acts = self.traffic.acts
        self.outcome.sent = len(acts)
        self.outcome.acknowledged = sum(act.is_acknowledged for act in acts)
        return self.outcome

    def _kill_once(self, server: Server) -> Server:
        before = self._work_until_a_moment(server)
        self.traffic.stopped.set()  # what is sent now is still in flight when it happens
        server.kill_all()
        self.traffic.end()
        self.outcome.kills += 1
        server = self.nursery.open()
        self._look(self.traffic.acts[before:], server.port)
        return server

    def _is_done_again(self, act: Act) -> bool:
        """True also where waiting does not help: that is a fault."""
        act.press()
        if act.is_acknowledged or act.status == 503:
            return act.is_acknowledged
        self.outcome.faults.append(f"{act.kind} {act.key} sent again was answered {act.status}")
        return True

    def _work_until_a_moment(self, server: Server) -> int:
        before = len(self.traffic.acts)
        self.traffic.begin(server.port)
        if not self.traffic.first_answer.wait(PATIENCE_SECONDS):
            self.outcome.faults.append("nothing was answered")
        time.sleep(random.uniform(SOONEST_SECONDS, LATEST_SECONDS))
        return before

    def _look(self, acts, port: int) -> None:
        """First at what lies there; then what was in flight is sent again, and all is looked at once more.

        `restart_seconds` runs from when the shop could be back to the first answer that says “done”.
        """
        outcome, in_flight = self.outcome, [act for act in acts if not act.is_acknowledged]
        outcome.faults += self.audit.missing(self.traffic.acts)
        outcome.faults += self.audit.halves(self.traffic.acts)
        begun = time.monotonic()
        stored = self.audit.stored()
        outcome.in_flight += len(in_flight)
        outcome.in_flight_kept += sum(bool(stored[act.kind][act.key]) for act in in_flight)
        for act in in_flight:
            act.filled.caller.port = port
            while not self._is_done_again(act) and time.monotonic() < begun + PATIENCE_SECONDS:
                time.sleep(0.05)
            if act is in_flight[0]:
                outcome.restart_seconds.append(round(time.monotonic() - begun, 2))
        outcome.faults += self.audit.missing(self.traffic.acts)
        outcome.faults += self.audit.halves(self.traffic.acts)
        outcome.faults += verified()
        fill_up(self.places)


def people_at_work() -> list[str]:
    roles = list(Group.objects.all()) or load_roles()
    hasher = ModestArgon2PasswordHasher()  # the server's, whatever tests use among themselves
    password = hasher.encode(PASSWORD, hasher.salt())
    for number in range(CALLERS):
        user = User(username=f"person{number}", first_name="Person", last_name=str(number))
        user.password = password
        user.save()
        user.groups.set(roles)
    return [f"person{number}" for number in range(CALLERS)]


def places_of_work() -> Places:
    by, today = make.somebody(), timezone.localdate()
    people = [make.make_person(name=f"Caller {number:02}") for number in range(CALLERS)]
    promises = [
        sell(instrument=make.make_instrument(by=by), person=each, price_minor=PRICE_MINOR, by=by, on=today)
        for each in people
    ]
    instruments = [make.make_instrument(by=by).stock_number for _ in range(CALLERS)]
    item = make.make_item(order=make.make_order(by=by))
    return Places([each.promise_id for each in promises], instruments, item.pk, people=[p.pk for p in people])


def fill_up(places: Places, kinds: Iterable[str] = tuple(ENOUGH)) -> None:
    """More to do of these kinds, once what was there runs low."""
    left = {kind: places.once_only[kind] for kind in ENOUGH if kind in kinds}
    if all(len(left[kind]) * 2 > ENOUGH[kind] for kind in left):
        return
    by, today = make.somebody(), timezone.localdate()
    with transaction.atomic():
        order, person = make.make_order(by=by), make.make_person(name="Wilf Arden")
        made = {
            "close": lambda: make.make_item(order=order).pk,
            "trial": lambda: (
                make.make_trial(instrument=make.make_instrument(by=by), person=person, by=by, on=today).number
            ),
            "sale": lambda: make.make_instrument(by=by).stock_number,
        }
        for kind, there in left.items():
            there += [made[kind]() for _ in range(ENOUGH[kind])]


class DatabaseLoop(Loop):
    """PostgreSQL itself is killed while the program goes on, and has to find its way back to it."""

    def __init__(self, folder: Path, cluster: Cluster, **options):
        super().__init__(folder, **options)
        self.cluster = cluster

    def _kill_once(self, server: Server) -> Server:
        before = self._work_until_a_moment(server)
        self.traffic.stopped.set()
        self.cluster.kill()
        self.traffic.end()
        self.outcome.kills += 1
        connection.close()
        self.cluster.start()
        self._look(self.traffic.acts[before:], server.port)
        return server


def main(words: list[str], folder: Path, cluster: Cluster | None) -> None:
    asked = argparse.ArgumentParser(prog="python -m tests.trust.in_a_shop crash", description=__doc__)
    asked.add_argument("--kills", type=int, default=40)
    asked.add_argument("--of", choices=["program", "database"], default="program")
    asked.add_argument("--door", default=THE_SHOP)
    asked.add_argument("--kinds", default=",".join(WEIGHTS))
    asked.add_argument("--stop", action="store_true", help="at the first fault")
    given = asked.parse_args(words)
    options = {"door": given.door, "kinds": tuple(given.kinds.split(","))}
    of_program = given.of == "program"
    loop = Loop(folder, **options) if of_program else DatabaseLoop(folder, cluster, **options)
    outcome = loop.run(given.kills, stop_at_a_fault=given.stop)
    connection.close()
    print(json.dumps(asdict(outcome)))
