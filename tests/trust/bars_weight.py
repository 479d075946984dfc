"""Bars 36, 38 and 39: papers and photographs against the bare library, weight on the line and in memory."""

import json
import os
import re
import subprocess
import sys
from functools import cache

from tests.trust.bars_crash import run_in_a_shop
from tests.trust.board import TREE, Figure, measures

REQUESTS, REQUESTS_LONG = 1_000, 10_000
DOORS = "tests.trust.watching_doors"


def printed_by(module: str, *words: str) -> str:
    ran = subprocess.run(
        [sys.executable, "-m", f"tests.bench.{module}", *words],
        cwd=TREE,
        env={name: value for name, value in os.environ.items() if name != "DJANGO_SETTINGS_MODULE"},
        capture_output=True,
        text=True,
    )
    if ran.returncode:
        raise RuntimeError(ran.stderr[-2000:])
    return ran.stdout.strip()


@cache
def served(requests: int) -> dict:
    return json.loads(printed_by("measure_serving", "--requests", str(requests)).splitlines()[-1])


@measures(36)
def papers_and_photographs(long: bool) -> Figure:
    paper = printed_by("bench_pdf")
    ratio = float(re.search(r"^ratio: ([\d.]+)", paper, re.MULTILINE)[1])
    slowest = float(re.search(r"^95th percentile: ([\d.]+)", paper, re.MULTILINE)[1])
    photo = json.loads(printed_by("bench_photo").splitlines()[-1])
    taken, memory = photo["ms"], photo["memory_mb"]
    over_pillow, over_vips = (taken["ours"] / taken.get(name, float("nan")) for name in ("Pillow", "libvips"))
    as_asked = ratio <= 3 and slowest <= 60 and over_pillow <= 1.3 and over_vips <= 3.5 and memory <= 200
    seconds = "5" if long else "2"
    lists = run_in_a_shop("meanwhile", "--seconds", seconds)
    hurried = run_in_a_shop("meanwhile", "--seconds", seconds, "--door", f"{DOORS}:painting_at_once()")
    return Figure(
        f"a listing sheet {ratio:.1f}x the bare canvas, p95 {slowest:.0f} ms of processor; a photograph"
        f" {over_pillow:.2f}x Pillow, {over_vips:.2f}x libvips, {memory} MB: {'as' if as_asked else 'not as'}"
        f" asked; the list takes {lists['ratio']:.2f}x while two people send photographs, of which"
        f" {lists['taken']} were taken",
        met=as_asked and lists["ratio"] <= 1.3 < hurried["ratio"] and lists["taken"] > 0,
        control=f"redrawn at once and at the rank of the pages: the list {hurried['ratio']:.2f}x",
    )


@measures(38)
def weight(long: bool) -> Figure:
    figures = served(REQUESTS)
    pages = {name: figures[name] for name in ("list", "window", "listing")}
    said = "; ".join(
        f"{name} {each['page'] / 1000:.1f} kB, {each['everything'] / 1000:.0f} kB with all it links,"
        f" {each['requests']} requests, script {each['script'] / 1000:.1f} kB, {each['elsewhere']} elsewhere"
        for name, each in pages.items()
    )
    met = (
        pages["list"]["page"] <= 60_000
        and all(each["requests"] <= 8 for each in pages.values())
        and all(each["script"] <= 40_000 and not each["elsewhere"] for each in pages.values())
    )
    return Figure(said, met)


@measures(39)
def start_and_memory(long: bool) -> Figure:
    requests = REQUESTS_LONG if long else REQUESTS
    figures = served(requests)
    grown = figures["memory after"] / figures["memory"] - 1
    met = (
        figures["started in"] <= 1.5
        and figures["memory after"] <= 90
        and grown <= 0.05
        and figures["a second"] >= 250
    )
    return Figure(
        f"first answer in {figures['started in']:.1f} s; {figures['memory after']:.0f} MB a process,"
        f" {grown:+.1%} after {requests:,} requests; {figures['a second']:.0f} lists a second",
        met,
    )
