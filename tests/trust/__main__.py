"""`python -m tests.trust`: measure the bars and write the board."""

import argparse
import importlib
import os
import pkgutil
import subprocess
from datetime import date
from pathlib import Path

import tests.trust
from tests.trust.bars import BARS
from tests.trust.board import TREE, Line, measured

BOARD = Path(__file__).parent / "SCOREBOARD.md"


def load_harnesses() -> None:
    """Import every `bars_*.py` beside this file; each enters its harnesses by being imported."""
    for found in pkgutil.iter_modules(tests.trust.__path__):
        if found.name.startswith("bars_"):
            importlib.import_module(f"tests.trust.{found.name}")


def row(line: Line) -> str:
    figure = line.figure
    said = figure.said if figure else (line.trouble or "no harness")
    control = figure.control if figure else ""
    cells = (str(line.number), line.bar, said, line.verdict, control, f"{line.seconds:.0f} s")
    return "| " + " | ".join(cell.replace("|", "/").replace("\n", " ") for cell in cells) + " |"


def board(lines: list[Line], *, long: bool) -> str:
    commit = subprocess.run(
        ["git", "rev-parse", "--short", "HEAD"], cwd=TREE, capture_output=True, text=True
    ).stdout.strip()
    met = sum(line.verdict == "met" for line in lines)
    head = (
        f"# The bars\n\nMade by `python -m tests.trust{' --long' if long else ''}`"
        f" on {date.today():%Y-%m-%d},"
        f" at {commit}, on {os.cpu_count()} processors. Met: {met} of {len(lines)}.\n\n"
        "“Guard taken away”: what the same harness saw without what it guards; it has to go red.\n\n"
        "| | bar | seen | | guard taken away | took |\n|---|---|---|---|---|---|\n"
    )
    return head + "\n".join(row(line) for line in lines) + "\n"


def main() -> None:
    asked = argparse.ArgumentParser(prog="python -m tests.trust", description=__doc__)
    asked.add_argument("--only", help="numbers of bars, with commas; printed, not written")
    asked.add_argument("--long", action="store_true", help="the long variants")
    given = asked.parse_args()
    load_harnesses()
    numbers = [int(number) for number in given.only.split(",")] if given.only else list(BARS)
    lines = []
    for number in numbers:
        lines.append(measured(number, BARS[number], long=given.long))
        print(row(lines[-1]), flush=True)
    if not given.only:
        BOARD.write_text(board(lines, long=given.long))


if __name__ == "__main__":
    main()
