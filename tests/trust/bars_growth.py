"""Bars 31 to 35: how pages grow with the shop."""

import json
import os
import subprocess
import sys
from functools import cache

from tests.trust.board import TREE, Figure, measures

SIZES, ROUNDS = "1,50,1000,10000,100000", 15
READ_WHOLE = {  # "page: table", with the reason; three at most
    "books, lines: shop_bookline": "the tax book adds up every line that is asked for, by default all",
    "books: shop_purchase": "what sellers are owed is worked out from what each was paid, and kept nowhere",
    "receipts: shop_payment": "the receipts are added up by the way they were paid, by default all of them",
}
LEAST_FASTER = {"1000": 3, "10000": 5, "100000": 8}


@cache
def measured_in(postgres: str) -> dict:
    """Filled databases are kept in the data folder, or on the server named: the first run makes them."""
    ran = subprocess.run(
        [sys.executable, "-m", "tests.bench.measure_growth", "--sizes", SIZES, "--rounds", str(ROUNDS)],
        cwd=TREE,
        env=os.environ | {"DATABASE_URL": postgres, "DJANGO_SETTINGS_MODULE": "tests.bench.settings"},
        capture_output=True,
        text=True,
    )
    if ran.returncode:
        raise RuntimeError(ran.stderr[-2000:])
    return json.loads(ran.stdout.strip().splitlines()[-1])


def databases() -> list[dict]:
    """Both, where WRESTPLANK_BENCH_POSTGRES names a server whose databases may be made."""
    servers = ["", os.environ.get("WRESTPLANK_BENCH_POSTGRES", "")]
    return [measured_in(address) for address in dict.fromkeys(servers)]


def _said(figures: dict, words: str) -> str:
    return f"{figures['database']}: {words}"


@measures(31)
def list_against_the_admin(long: bool) -> Figure:
    said, met, control = [], True, []
    for figures in databases():
        lists = figures["lists"]
        faster = {size: each["admin"] / each["list"] for size, each in lists.items()}
        over = max(each["list"] / each["floor"] for each in lists.values())
        met &= all(ratio >= LEAST_FASTER[size] for size, ratio in faster.items()) and over <= 10
        ratios = ", ".join(f"{ratio:.1f}x at {int(size):,}" for size, ratio in faster.items())
        said.append(_said(figures, f"{ratios} faster than the admin, {over:.0f}x the floor"))
        queries = figures["growth"]["list"]["queries"]
        control.append(f"{figures['database']}: {queries} queries by size")
    return Figure("; ".join(said), met, "; ".join(control))


@measures(32)
def growth(long: bool) -> Figure:
    most = {"list": 8, "detail": 12, "search": 8, "dashboard": 8}
    said, met = [], True
    for figures in databases():
        for name, most_queries in most.items():
            page = figures["growth"][name]
            small, large = page["ms"]["1000"], page["ms"]["100000"]
            counts = sorted(set(page["queries"].values()))
            met &= large <= 1.2 * small and len(counts) == 1 and counts[-1] <= most_queries
            said.append(_said(figures, f"{name} {large / small:.2f}x, queries {counts}"))
    return Figure("; ".join(said), met)


@measures(33)
def whole_tables(long: bool) -> Figure:
    """A page that reads a whole table on one database reads one too many, whatever the other does."""
    said, met, control = [], len(READ_WHOLE) <= 3, []
    for figures in databases():
        read = [each for each in figures["read whole"]["as it is"] if each not in READ_WHOLE]
        more = set(figures["read whole"]["without an index"]) - set(figures["read whole"]["as it is"])
        met &= not read and bool(more)
        pages, tables = ({each.split(": ")[place] for each in read} for place in (0, 1))
        counted = f"{len(pages)} pages read {len(tables)} large tables whole"
        said.append(_said(figures, f"{counted}: {', '.join(read)}" if read else counted))
        control.append(_said(figures, f"{len(more)} more without one index"))
    return Figure("; ".join(said), met, "; ".join(control))


@measures(34)
def deep_pages(long: bool) -> Figure:
    ratios = {each["database"]: each["deep"]["last"] / each["deep"]["first"] for each in databases()}
    said = "; ".join(f"{name}: the last page {ratio:.2f}x the first" for name, ratio in ratios.items())
    return Figure(f"{said} (a list ends after 1,000 rows and says so)", max(ratios.values()) <= 1.5)


@measures(35)
def search(long: bool) -> Figure:
    said, met, control = [], True, []
    for figures in databases():
        found = figures["search"]
        slowest = max(each["p95"] for each in found.values())
        rare = found["rare"]["read through"] / found["rare"]["ours"]
        met &= slowest <= 15 and rare >= 50
        said.append(_said(figures, f"p95 {slowest:.1f} ms at most, {rare:.0f}x a plain LIKE on a rare word"))
        without = max(each["read through"] for each in found.values())
        control.append(f"{figures['database']} without the index: {without:.0f} ms")
    return Figure("; ".join(said), met, "; ".join(control))
