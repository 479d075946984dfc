"""Bar 40: what two machines do for one shop, killed in turn, and while a release is rolled out."""

import os
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from urllib.request import urlopen

import boto3

from tests.trust.bars_crash import run_in_a_shop
from tests.trust.board import TREE, Figure, measures
from tests.trust.releases import ADDS, DEMANDS, TAKES_AWAY, before_the_newest_change, next_release

KILLS, KILLS_LONG, CONTROL_KILLS = 24, 200, 6


@contextmanager
def object_store() -> Iterator[dict[str, str]]:
    """A stand-in for an object store on loopback, with one bucket; yields what the shop is told of it."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    address = f"http://127.0.0.1:{port}"
    store = subprocess.Popen(
        [sys.executable, "-m", "moto.server", "-H", "127.0.0.1", "-p", str(port)],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    try:
        until = time.monotonic() + 60
        while time.monotonic() < until:
            with suppress(OSError):
                urlopen(address, timeout=2).close()
                break
            time.sleep(0.1)
        keys = {"aws_access_key_id": "key", "aws_secret_access_key": "secret"}
        boto3.client("s3", endpoint_url=address, region_name="us-east-1", **keys).create_bucket(Bucket="shop")
        yield {
            "WRESTPLANK_S3_BUCKET": "shop",
            "WRESTPLANK_S3_ENDPOINT": address,
            "WRESTPLANK_S3_KEY": "key",
            "WRESTPLANK_S3_SECRET": "secret",
        }
    finally:
        store.terminate()
        store.wait(timeout=30)


def two_nodes(module: str, *words: str, shared: bool = True, more: tuple[str, ...] = ()) -> dict:
    """Run the nodes; without `shared` each keeps its files on its own disk."""
    with object_store() as told:
        before = dict(os.environ)
        os.environ.update(told if shared else {})
        try:
            return run_in_a_shop(module, *words, postgres=True, more=more)
        finally:
            os.environ.clear()
            os.environ.update(before)


def rolled_out() -> dict[str, dict]:
    """By what is rolled out: the newest change of our own tables, a change to come, and two that go wrong."""
    with tempfile.TemporaryDirectory(prefix="trust-") as name:
        folder = Path(name)
        older, commit = before_the_newest_change(folder / "older")
        ways = {
            f"from {commit} to here": (older, TREE),
            "a column and a table more": (TREE, next_release(folder / "adds", ADDS)),
            "a column that has to be given": (
                TREE,
                next_release(folder / "demands", DEMANDS),
                "--tables-alone",
            ),
            "a column less": (TREE, next_release(folder / "takes", TAKES_AWAY), "--tables-alone"),
        }
        return {
            words: two_nodes(
                *("rolling", "--older", str(before), "--newer", str(after), *more),
                more=("--release", str(before)),
            )
            for words, (before, after, *more) in ways.items()
        }


def rolled(words: str, ran: dict) -> str:
    said = (
        f"{words}: {ran['acknowledged']:,} told and {ran['read']:,} of {ran['pages']} pages read in"
        f" {ran['seconds']:.0f} s, {ran['files_read']:,} files ({ran['files_of_the_other']} of the other),"
        f" {ran['sent_again']} sent again, {ran['failures_seen']} failures seen,"
        f" {len(ran['faults'])} faults; tables changed in {ran['migrate_seconds']:.1f} s,"
        f" longest {ran['longest_ms']:.0f} ms"
    )
    return said + "".join(f"; {fault}" for fault in ran["faults"][:2])


def killed_in_turn(long: bool) -> tuple[str, bool, str]:
    ran = two_nodes("nodes", "--kills", str(KILLS_LONG if long else KILLS))
    control = ("nodes", "--stop", "--kills", str(CONTROL_KILLS), "--kinds")
    controls = {
        "media on each node's own disk": two_nodes(*control, "photo", shared=False),
        "acts by halves": two_nodes(*control, "pay,close", "--door", "tests.trust.crash_doors:by_halves()"),
        "sent once": two_nodes(*control, "pay", "--sendings", "1"),
    }
    said = (
        f"{ran['kills']} kills in {ran['seconds']:.0f} s: {ran['acknowledged']:,} told,"
        f" {ran['sent_again']} sent again, {ran['failures_seen']} failures seen, {len(ran['faults'])} faults;"
        f" p50 {ran['p50_ms']:.0f}, p99 {ran['p99_ms']:.0f}, longest {ran['longest_ms']:.0f} ms"
        + "".join(f"; {fault}" for fault in ran["faults"][:2])
    )
    met = not ran["faults"] and not ran["failures_seen"] and ran["p99_ms"] <= 500
    seen = {name: (len(each["faults"]), each["failures_seen"]) for name, each in controls.items()}
    return said, met and all(map(any, seen.values())), told_of(seen)


def told_of(controls: dict[str, tuple[int, int]]) -> str:
    return "; ".join(
        f"{name}: {faults} faults, {failures} failures seen" for name, (faults, failures) in controls.items()
    )


@measures(40)
def nodes(long: bool) -> Figure:
    said, met, control = killed_in_turn(long)
    (own, ahead, *wrong) = rolled_out().items()
    for words, ran in (own, ahead):
        said += f". Rolled out {rolled(words, ran)}"
        met = met and not ran["faults"] and not ran["failures_seen"]
    seen = {words: (len(ran["faults"]), ran["failures_seen"]) for words, ran in wrong}
    met = met and all(failures for _, failures in seen.values())
    return Figure(said, met, f"{control}. Rolled out {told_of(seen)}")
