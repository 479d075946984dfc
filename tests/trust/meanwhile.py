"""How much longer the stock list takes while two people send photographs of twelve megapixels.

python -m tests.trust.in_a_shop --folder FOLDER meanwhile --seconds 2
"""

import argparse
import json
import os
import threading
import time
from pathlib import Path
from statistics import median

from django.urls import reverse

from tests.bench.bench_photo import photograph
from tests.concurrency.served import THE_SHOP
from tests.trust.crash import people_at_work, places_of_work
from tests.trust.nursery import Nursery
from tests.trust.traffic import Visitor, WithPhoto

WORKERS, READERS, SENDERS, ROUNDS, WARM_PAGES = 2, 2, 2, 3, 10


def main(words: list[str], folder: Path, cluster) -> None:
    asked = argparse.ArgumentParser(prog="python -m tests.trust.in_a_shop meanwhile", description=__doc__)
    asked.add_argument("--seconds", type=float, default=2)
    asked.add_argument("--door", default=THE_SHOP)
    given = asked.parse_args(words)
    usernames, stock_number = people_at_work(), places_of_work().instruments[0]
    nursery = Nursery(folder, door=given.door, workers=WORKERS)
    server = nursery.open()
    try:
        visitors = [Visitor(server.port, each) for each in usernames[: READERS + SENDERS]]
        readers, senders = visitors[:READERS], visitors[READERS:]
        sending = Sending(senders, reverse("instruments:photos", args=[stock_number]))
        for reader in readers * WARM_PAGES:
            seconds_of(reader)
        idle, busy = [], []
        for _ in range(ROUNDS):  # in turn, so that what disturbs one disturbs the other too
            idle += read(readers, given.seconds)
            sending.begin()
            busy += read(readers, given.seconds)
            sending.end()
    finally:
        server.kill_all()
        nursery.close()
    before, meanwhile = median(idle) * 1000, median(busy) * 1000
    figures = {"idle_ms": before, "meanwhile_ms": meanwhile, "ratio": meanwhile / before}
    print(json.dumps(figures | {"lists": len(busy), "taken": sending.taken, "refused": sending.refused}))


class Sending:
    """People who send one photograph after the other, each there only once."""

    def __init__(self, senders: list[Visitor], address: str):
        self.senders, self.address, self.photo = senders, address, photograph()
        self.taken = self.refused = 0
        self.enough, self.threads = threading.Event(), []

    def begin(self) -> None:
        self.enough.clear()
        self.threads = [threading.Thread(target=self._send, args=[each]) for each in self.senders]
        for thread in self.threads:
            thread.start()

    def end(self) -> None:
        self.enough.set()
        for thread in self.threads:
            thread.join()

    def _send(self, sender: Visitor) -> None:
        while not self.enough.is_set():
            form = sender.with_page_open(self.address)
            # What follows a picture's end is part of the file, and no other file has it.
            answer = WithPhoto(sender, form.address, form.fields, self.photo + os.urandom(16)).press()
            self.taken += answer.status == 302
            self.refused += answer.status != 302


def read(readers: list[Visitor], seconds: float) -> list[float]:
    """What each list took that was asked for in so many seconds, by all readers at once."""
    taken, until = [], time.monotonic() + seconds

    def one(reader: Visitor) -> None:
        while time.monotonic() < until:
            taken.append(seconds_of(reader))

    threads = [threading.Thread(target=one, args=[each]) for each in readers]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return taken


def seconds_of(reader: Visitor) -> float:
    begun = time.monotonic()
    page = reader.get(reverse("stock"))
    assert page.status == 200, page.status
    return time.monotonic() - begun
