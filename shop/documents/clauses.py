"""The shop's standard clauses, kept as a file that people can read and change."""

import json
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from instruments.documents.content import Clause

STANDARD = Path(__file__).resolve().parents[2] / "fixtures" / "agreement_clauses.json"

ALWAYS = "always"
PART_EXCHANGE = "part exchange"
REGISTERED = "registered"
AT_A_DISTANCE = "at a distance"
CIRCUMSTANCES = frozenset({ALWAYS, PART_EXCHANGE, REGISTERED, AT_A_DISTANCE})


@dataclass(frozen=True)
class ClauseSet:
    """One version of the terms. Each clause names the circumstance in which it belongs in an agreement."""

    version: str
    clauses: tuple[tuple[str, Clause], ...]
    cautions: tuple[str, ...]

    def for_agreement(self, *circumstances: str) -> tuple[Clause, ...]:
        """Those that always apply and those of the circumstances given, in the file's order."""
        if unknown := set(circumstances) - CIRCUMSTANCES:
            raise ValueError(f"no clause knows of {', '.join(sorted(unknown))}")
        return tuple(clause for when, clause in self.clauses if when in {ALWAYS, *circumstances})


@cache
def standard_clauses(path: Path = STANDARD) -> ClauseSet:
    """Raises ValueError naming the clause that is incomplete or tied to a circumstance nobody knows."""
    written = json.loads(path.read_text(encoding="utf-8"))
    clauses = []
    for number, entry in enumerate(written["clauses"], start=1):
        if entry.get("when") not in CIRCUMSTANCES or not (entry.get("heading") and entry.get("text")):
            raise ValueError(f"clause {number} needs a heading, a text and a known circumstance")
        clauses.append((entry["when"], Clause(entry["heading"], entry["text"])))
    return ClauseSet(written["version"], tuple(clauses), tuple(written.get("cautions", ())))
