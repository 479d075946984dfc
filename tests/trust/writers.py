"""Eight people who save all the time, and what each waits for.

python -m tests.trust.in_a_shop --folder FOLDER writers --seconds 10
"""

import argparse
import json
import time
from http.client import HTTPConnection
from pathlib import Path
from statistics import quantiles

from tests.concurrency.served import THE_SHOP
from tests.trust.crash import PATIENCE_SECONDS, fill_up, people_at_work, places_of_work
from tests.trust.nursery import Nursery
from tests.trust.traffic import WEIGHTS, Traffic, Visitor

WORKERS = 2
WARM_SECONDS = 3


class Writer(Visitor):
    """Comes over a line that is kept open, as nginx keeps its lines to the shop (nginx.conf)."""

    kept: HTTPConnection | None = None

    def _line(self, timeout: float = PATIENCE_SECONDS) -> HTTPConnection:
        line, self.kept = self.kept, None
        return line or super()._line(timeout)

    def _done(self, line: HTTPConnection) -> None:
        self.kept = line

    def _headers(self) -> dict[str, str]:
        return super()._headers() | {"Connection": "keep-alive"}


def main(words: list[str], folder: Path, cluster) -> None:
    asked = argparse.ArgumentParser(prog="python -m tests.trust.in_a_shop writers", description=__doc__)
    asked.add_argument("--seconds", type=float, default=10)
    asked.add_argument("--kinds", default=",".join(WEIGHTS))
    asked.add_argument("--door", default=THE_SHOP)
    given = asked.parse_args(words)
    places = places_of_work()
    fill_up(places)
    traffic = Traffic(people_at_work(), places, tuple(given.kinds.split(",")), visitor=Writer)
    nursery = Nursery(folder, door=given.door, workers=WORKERS)
    server = nursery.open()
    try:
        traffic.begin(server.port)
        assert traffic.first_answer.wait(PATIENCE_SECONDS)
        time.sleep(WARM_SECONDS)  # pages are opened once, and tables are read
        before, begun = len(traffic.acts), time.monotonic()
        time.sleep(given.seconds)
        acts, seconds = traffic.acts[before:], time.monotonic() - begun
        traffic.end()
    finally:
        server.kill_all()
        nursery.close()
    waits = [act.seconds * 1000 for act in acts if act.is_acknowledged]
    held, worked = [], []
    for line in _lines(folder / "held"):
        whole, work = map(float, line.split())
        held.append(whole)
        worked.append(work)
    print(
        json.dumps(
            {
                "count": len(acts),
                "refused": sum(not act.is_acknowledged and act.status > 0 for act in acts),
                "a_second": len(waits) / seconds,
                "p95_ms": _share(waits, 95),
                "p99_ms": _share(waits, 99),
                "held_count": len(held),
                "held_p50_ms": _share(held, 50),
                "held_p99_ms": _share(held, 99),
                "held_cpu_p99_ms": _share(worked, 99),
                "held_most_ms": max(held, default=0),
                "inside": sorted(set(_lines(folder / "inside"))),
            }
        )
    )


def _share(values: list[float], percent: int) -> float:
    return quantiles(values, n=100)[percent - 1] if len(values) > 1 else 0.0


def _lines(path: Path) -> list[str]:
    return path.read_text().splitlines() if path.exists() else []
