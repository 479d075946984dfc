"""Which harness measures which bar, and how what it found is written down."""

import os
import subprocess
import sys
import time
import traceback
from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

# Without the project's own options, of which two would leave out the line that counts.
PLAINLY = ("-o", "addopts=-p no:cacheprovider", "-q", "--no-header", "-p", "no:warnings")
FROM_A_COPY = ("-p", "tests.trust.ready")
TREE = Path(__file__).resolve().parent.parent.parent


@dataclass(frozen=True)
class Figure:
    """What a harness saw. `said` holds the figures; `control` what it saw with the guard taken away.

    What is thought through and not built is `on_paper`, and counts as met by nobody.
    """

    said: str
    met: bool
    control: str = ""
    on_paper: bool = False


@dataclass(frozen=True)
class Line:
    """One bar on the board: its figure and how long it took in seconds, or why there is none."""

    number: int
    bar: str
    figure: Figure | None
    seconds: float
    trouble: str = ""
    long: bool = False

    @property
    def verdict(self) -> str:
        if self.figure is None:
            return "broke" if self.trouble else "not measured"
        if self.figure.on_paper:
            return "on paper"
        return "met" if self.figure.met else "NOT MET"

    @property
    def again(self) -> str:
        """What measures this bar alone once more; nothing where it was met."""
        if self.verdict in {"met", "on paper"}:
            return ""
        return f"python -m tests.trust --only {self.number}{' --long' if self.long else ''}"


Harness = Callable[[bool], Figure]
HARNESSES: dict[int, Harness] = {}


def measures(number: int) -> Callable[[Harness], Harness]:
    """Enter a harness for bar `number`. It is called with `long` and answers with a `Figure`."""

    def enter(harness: Harness) -> Harness:
        if number in HARNESSES:
            raise ValueError(f"Bar {number} has a harness already: {HARNESSES[number].__module__}.")
        HARNESSES[number] = harness
        return harness

    return enter


def measured(number: int, bar: str, *, long: bool, harness: Harness | None = None) -> Line:
    """Run the harness of one bar. What breaks in it is a line of the board too, never a silent pass."""
    harness = harness or HARNESSES.get(number)
    if harness is None:
        return Line(number, bar, None, 0.0)
    begun = time.monotonic()
    try:
        figure, trouble = harness(long), ""
    except Exception as error:
        traceback.print_exc()
        figure, trouble = None, f"{type(error).__name__}: {error}"
    return Line(number, bar, figure, time.monotonic() - begun, trouble, long)


def pytest_counts(*names: str, env: dict[str, str] | None = None) -> tuple[int, int, str]:
    """How many tests under `names` passed and failed, and the last line pytest printed.

    A bar whose proof is a set of ordinary tests is measured by running them: `names` are paths or node
    ids, `env` is laid over this process's own. Raises RuntimeError where pytest collected nothing.
    """
    command = [sys.executable, "-m", "pytest", *PLAINLY, *FROM_A_COPY, *names]
    ran = subprocess.run(command, cwd=TREE, env={**os.environ, **(env or {})}, capture_output=True, text=True)
    last = ran.stdout.strip().splitlines()[-1] if ran.stdout.strip() else ran.stderr[-200:]
    counts = {"passed": 0, "failed": 0, "error": 0, "errors": 0}
    words = last.replace(",", "").split()
    for number, word in pairwise(words):
        if word in counts and number.isdigit():
            counts[word] = int(number)
    failed = counts["failed"] + counts["error"] + counts["errors"]
    if not counts["passed"] and not failed:
        raise RuntimeError(f"No test ran: {last}")
    return counts["passed"], failed, last
