"""Bars 3 and 13: killed at random under load, program and database, and what is left lying about."""

import json
import os
import subprocess
import sys
import tempfile
from functools import cache
from pathlib import Path
from statistics import median

from tests.trust.board import TREE, Figure, measures

KILLS, KILLS_LONG = 40, 200
DATABASE_KILLS, DATABASE_KILLS_LONG = 15, 60
CONTROL_KILLS = 8
BOTH = ("SQLite", "PostgreSQL")
CONTROLS = {
    "acts by halves": ("by_halves", "pay,close"),
    "files unsettled": ("unsettled", "photo"),
    "told before it is done": ("told_before_it_is_done", "pay"),
}


def run_in_a_shop(
    module: str, *words: str, postgres: bool = False, more: tuple[str, ...] = (), folder: Path | None = None
) -> dict:
    """What a module of this package prints last, run over a shop of its own that is gone afterwards."""
    with tempfile.TemporaryDirectory(prefix="trust-") as spare:
        Path(spare).chmod(0o755)  # PostgreSQL runs as another user
        base = ["--folder", str(folder or spare), *(["--postgres"] if postgres else []), *more]
        command = [sys.executable, "-m", "tests.trust.in_a_shop", *base, module, *words]
        environment = os.environ | {"DJANGO_SETTINGS_MODULE": "shop.settings", "PYTHONPATH": str(TREE)}
        ran = subprocess.run(command, cwd=TREE, env=environment, capture_output=True, text=True)
    if ran.returncode:
        raise RuntimeError(f"{module}: {ran.stderr[-2000:]}")
    return json.loads(ran.stdout.strip().splitlines()[-1])


@cache
def killed(kills: int, *, postgres: bool) -> dict:
    """Bars 3 and 13 read the same run."""
    return run_in_a_shop("crash", "--kills", str(kills), postgres=postgres)


def said(outcome: dict) -> str:
    words = (
        f"{outcome['kills']} kills, {outcome['acknowledged']:,} told, {outcome['in_flight']} in flight"
        f" ({outcome['in_flight_kept']} of them kept), {len(outcome['faults'])} faults"
    )
    if back := outcome["restart_seconds"]:
        words += f", back in {median(back):.1f} s (longest {max(back):.1f})"
    return words + "".join(f"; {fault}" for fault in outcome["faults"][:2])


@measures(3)
def killed_under_load(long: bool) -> Figure:
    kills, of_database = (KILLS_LONG, DATABASE_KILLS_LONG) if long else (KILLS, DATABASE_KILLS)
    runs = {
        "SQLite": killed(kills, postgres=False),
        "PostgreSQL": killed(kills, postgres=True),
        "PostgreSQL itself": run_in_a_shop(
            "crash", "--of", "database", "--kills", str(of_database), postgres=True
        ),
    }
    controls = {
        words: run_in_a_shop(
            *("crash", "--stop", "--kills", str(CONTROL_KILLS), "--kinds", kinds),
            *("--door", f"tests.trust.crash_doors:{door}()"),
        )
        for words, (door, kinds) in CONTROLS.items()
    }
    controls["synchronous_commit off, PostgreSQL itself"] = run_in_a_shop(
        *("crash", "--of", "database", "--stop", "--kinds", "pay", "--kills", str(CONTROL_KILLS)),
        postgres=True,
        more=("--set", "synchronous_commit=off"),
    )
    return Figure(
        said=". ".join(f"{name}: {said(outcome)}" for name, outcome in runs.items()),
        met=not any(outcome["faults"] for outcome in runs.values())
        and all(outcome["faults"] for outcome in controls.values()),
        control=". ".join(
            f"{words}: {len(outcome['faults'])} faults after {outcome['kills']} kills"
            for words, outcome in controls.items()
        ),
    )


@measures(13)
def nothing_left_lying_about(long: bool) -> Figure:
    """After the kills of bar 3: files of rows, files without rows, numbers."""
    runs = {name: killed(KILLS_LONG if long else KILLS, postgres=name == "PostgreSQL") for name in BOTH}
    control = run_in_a_shop(
        *("crash", "--stop", "--kills", str(CONTROL_KILLS), "--kinds", "photo"),
        *("--door", "tests.trust.crash_doors:unsettled()"),
    )
    without = [fault for fault in control["faults"] if "is not whole" in fault]
    return Figure(
        said=". ".join(
            f"{name}: {run['kills']} kills, {len(run['faults'])} rows without their file or gaps in numbers,"
            f" {run['strays']} stray files found and removed, {run['strays_left']} left"
            for name, run in runs.items()
        ),
        met=not any(run["faults"] or run["strays_left"] for run in runs.values()) and bool(without),
        control=f"files unsettled: {len(without)} pictures not whole after {control['kills']} kills",
    )
