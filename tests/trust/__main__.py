"""`python -m tests.trust`: measure the bars and write the board."""

import argparse
import importlib
import json
import os
import pkgutil
import subprocess
from datetime import date
from pathlib import Path

import tests.trust
from tests.trust.bars import BARS
from tests.trust.board import TREE, Line, measured
from tests.trust.ready import kept_for_this_run

BOARD = Path(__file__).parent / "SCOREBOARD.md"
FIGURES = Path(__file__).parent / "figures.json"


def load_harnesses() -> None:
    """Import every `bars_*.py` beside this file; each enters its harnesses by being imported."""
    for found in pkgutil.iter_modules(tests.trust.__path__):
        if found.name.startswith("bars_"):
            importlib.import_module(f"tests.trust.{found.name}")


def kept() -> dict[str, dict]:
    """By the number of the bar, what was measured last."""
    return json.loads(FIGURES.read_text()) if FIGURES.exists() else {}


def keep(lines: list[Line], *, long: bool) -> dict[str, dict]:
    """Put what was measured now in the place of what was measured before; the rest stays as it is."""
    commit = subprocess.run(
        ["git", "rev-parse", "--short", "HEAD"], cwd=TREE, capture_output=True, text=True
    ).stdout.strip()
    figures = kept()
    for line in lines:
        figure = line.figure
        figures[str(line.number)] = {
            "seen": figure.said if figure else (line.trouble or "no harness"),
            "verdict": line.verdict,
            "guard taken away": figure.control if figure else "",
            "seconds": round(line.seconds),
            "when": f"{date.today():%Y-%m-%d} at {commit}{', long' if long else ''}",
        }
    figures = {number: figures[number] for number in sorted(figures, key=int)}
    FIGURES.write_text(json.dumps(figures, indent=1, ensure_ascii=False) + "\n")
    return figures


def row(number: int, figure: dict | None) -> str:
    """A line of the board; a bar that nothing was measured of says so."""
    figure = figure or {"seen": "", "verdict": "not measured", "guard taken away": "", "when": ""}
    took = f"{figure['seconds']} s" if "seconds" in figure else ""
    cells = (
        str(number),
        BARS[number],
        figure["seen"],
        figure["verdict"],
        figure["guard taken away"],
        figure["when"],
        took,
    )
    return "| " + " | ".join(cell.replace("|", "/").replace("\n", " ") for cell in cells) + " |"


def board(figures: dict[str, dict]) -> str:
    met = sum(figure["verdict"] == "met" for figure in figures.values())
    head = (
        f"# The bars\n\nWritten by `python -m tests.trust`, on {os.cpu_count()} processors; with `--only` it"
        f" measures some anew and leaves the others’ lines. Met: {met} of {len(BARS)}.\n\n"
        "“Guard taken away”: what the same harness saw without what it guards; it has to go red.\n\n"
        "| | bar | seen | | guard taken away | when | took |\n|---|---|---|---|---|---|---|\n"
    )
    return head + "\n".join(row(number, figures.get(str(number))) for number in BARS) + "\n"


def main() -> None:
    asked = argparse.ArgumentParser(prog="python -m tests.trust", description=__doc__)
    asked.add_argument("--only", help="numbers of bars, with commas")
    asked.add_argument("--long", action="store_true", help="the long variants")
    given = asked.parse_args()
    load_harnesses()
    with kept_for_this_run():
        for number in [int(number) for number in given.only.split(",")] if given.only else list(BARS):
            line = measured(number, BARS[number], long=given.long)
            figures = keep([line], long=given.long)
            print(row(number, figures[str(number)]), flush=True)
            if line.again:
                print(f"Once more: {line.again}", flush=True)
            BOARD.write_text(board(figures))


if __name__ == "__main__":
    main()
