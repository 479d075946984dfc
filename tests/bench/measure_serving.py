"""The shop as it is served: how soon it answers, what it weighs in memory and on the line. Printed as JSON.

    python -m tests.bench.measure_serving [--requests 1000]

gunicorn with two processes, as the README has it, over the filled shop of a thousand instruments; the program
is compiled before, as OPERATIONS.md has it when it is installed. The page is the stock list, asked for by
eight callers at once.
"""

import argparse
import gzip
import json
import os
import re
import socket
import subprocess
import sys
import time
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from http.client import HTTPConnection
from pathlib import Path

from django.contrib.staticfiles import finders

from tests.bench.bench_growth import places_in
from tests.bench.ground import TREE, Shop, address_of

SIZE, CALLERS = 1_000, 8
PROGRAM = ("instruments", "workorders", "shop")
LINKED = re.compile(r"""<(?:link|script|img)[^>]*?(?:href|src)="([^"]+)"[^>]*>""")
FETCHED_AT_ONCE = re.compile(r"""rel="(?:stylesheet|icon|preload)|<script""")


class Served:
    def __init__(self, cookie: str, size: int = SIZE):
        self.cookie = cookie
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        subprocess.run([sys.executable, "-m", "compileall", "-q", *PROGRAM], cwd=TREE, check=True)
        begun = time.perf_counter()
        self.process = subprocess.Popen(
            [
                *(sys.executable, "-m", "gunicorn", "shop.wsgi", "--bind", f"127.0.0.1:{self.port}"),
                *("--worker-class", "gthread", "--workers", "2", "--threads", "8", "--preload"),
                "--no-control-socket",
            ],
            cwd=TREE,
            env=os.environ | {"DATABASE_URL": address_of(size), "DJANGO_SETTINGS_MODULE": "shop.settings"},
            stderr=subprocess.DEVNULL,
        )
        while True:
            with suppress(OSError):
                self.get("/healthz")
                break
            time.sleep(0.01)
        self.started_in = time.perf_counter() - begun

    def get(self, path: str) -> int:
        line = HTTPConnection("127.0.0.1", self.port, timeout=60)
        line.request("GET", path, headers={"Cookie": f"sessionid={self.cookie}"})
        answer = line.getresponse()
        answer.read()
        line.close()
        return answer.status

    def memory_mb(self) -> float:
        """The proportional share of the heavier process."""
        children = Path(f"/proc/{self.process.pid}/task/{self.process.pid}/children").read_text().split()
        shares = [Path(f"/proc/{pid}/smaps_rollup").read_text() for pid in children]
        return max(int(re.search(r"^Pss:\s+(\d+)", each, re.MULTILINE)[1]) for each in shares) / 1024

    def ask(self, path: str, count: int) -> float:
        """So many of a page by all callers; how many a second."""
        begun = time.perf_counter()
        with ThreadPoolExecutor(CALLERS) as callers:
            statuses = set(callers.map(self.get, [path] * count))
        if statuses != {200}:
            raise RuntimeError(f"{path} answered {statuses}")
        return count / (time.perf_counter() - begun)

    def close(self) -> None:
        self.process.terminate()
        self.process.wait(timeout=60)


def weight(shop: Shop, path: str, *, stranger: bool = False) -> dict:
    """Of one page: compressed bytes, of it and of its script, and how many requests before it stands."""
    with shop.open():
        page = shop.get(path, stranger=stranger).content.decode()
    tags = [found for found in LINKED.finditer(page) if FETCHED_AT_ONCE.search(found[0])]
    scripts = [found[1] for found in tags if found[0].startswith("<script")]
    elsewhere = [found[1] for found in LINKED.finditer(page) if "//" in found[1]]
    fetched = {found[1] for found in tags if "icon" not in found[0]}
    words = len(gzip.compress(page.encode()))
    return {
        "page": words,
        "script": sum(len(gzip.compress(_static(each))) for each in scripts),
        "everything": words + sum(len(gzip.compress(_static(each))) for each in fetched),
        "requests": 1 + len(fetched),
        "elsewhere": len([each for each in elsewhere if "testserver" not in each]),
    }


def _static(address: str) -> bytes:
    found = finders.find(address.removeprefix("/static/"))
    return Path(found).read_bytes() if found else b""


def main(requests: int) -> None:
    shop = Shop(SIZE)
    slug = places_in(shop)["slug"]
    figures = {
        "list": weight(shop, "/stock/"),
        "window": weight(shop, "/window/", stranger=True),
        "listing": weight(shop, f"/window/{slug}/", stranger=True),
    }
    served = Served(shop.owner.cookies["sessionid"].value)
    try:
        served.ask("/stock/", 100)
        before = served.memory_mb()
        figures["a second"] = served.ask("/stock/", requests)
        figures |= {"started in": served.started_in, "memory": before, "memory after": served.memory_mb()}
    finally:
        served.close()
    print(json.dumps(figures))


if __name__ == "__main__":
    given = argparse.ArgumentParser(prog="python -m tests.bench.measure_serving")
    given.add_argument("--requests", type=int, default=1_000)
    main(given.parse_args().requests)
