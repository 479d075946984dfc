"""Clauses of an agreement, and in which of them each belongs; the shipped ones are a file one may read."""

import json
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from string import Template

from instruments.documents.content import Clause

STANDARD = Path(__file__).resolve().parents[2] / "fixtures" / "agreement_clauses.json"

ALWAYS = "always"
PART_EXCHANGE = "part exchange"
REGISTERED = "registered"
AT_A_DISTANCE = "at a distance"
KEEPING_IS_NOT_BUYING = "keeping is not buying"
KEEPING_IS_BUYING = "keeping is buying"
CIRCUMSTANCES = frozenset(
    {ALWAYS, PART_EXCHANGE, REGISTERED, AT_A_DISTANCE, KEEPING_IS_NOT_BUYING, KEEPING_IS_BUYING}
)
# What an agreement puts in for a word after a $.
PLACES = frozenset(
    {"first_day", "last_day", "place", "humidity", "registration", "number", "price", "shop", "customer"}
)


@dataclass(frozen=True)
class ClauseSet:
    """One version of the terms. Each clause names the circumstance in which it belongs in an agreement."""

    version: str
    clauses: tuple[tuple[str, Clause], ...]
    cautions: tuple[str, ...]
    keeping_is_buying: bool = False

    def for_agreement(self, *circumstances: str) -> tuple[Clause, ...]:
        """Those that always apply and those of the circumstances given, in the file's order."""
        if unknown := set(circumstances) - CIRCUMSTANCES:
            raise ValueError(f"no clause knows of {', '.join(sorted(unknown))}")
        silence = KEEPING_IS_BUYING if self.keeping_is_buying else KEEPING_IS_NOT_BUYING
        return tuple(clause for when, clause in self.clauses if when in {ALWAYS, silence, *circumstances})


@cache
def shipped_terms(path: Path = STANDARD) -> dict:
    """The file as it stands. ValueError naming a clause that is incomplete or tied to nothing known."""
    written = json.loads(path.read_text(encoding="utf-8"))
    for number, entry in enumerate(written["clauses"], start=1):
        if entry.get("when") not in CIRCUMSTANCES or not (entry.get("heading") and entry.get("text")):
            raise ValueError(f"clause {number} needs a heading, a text and a known circumstance")
    return written


def standard_clauses(path: Path = STANDARD) -> ClauseSet:
    return clause_set(shipped_terms(path), version=shipped_terms(path)["version"])


def clause_set(words: dict, *, version: str, keeping_is_buying: bool = False) -> ClauseSet:
    """From plain values: `clauses`, each with `when`, `heading`, `text`, and `cautions`."""
    clauses = tuple((each["when"], Clause(each["heading"], each["text"])) for each in words["clauses"])
    return ClauseSet(version, clauses, tuple(words.get("cautions", ())), keeping_is_buying)


def unknown_places(text: str) -> list[str]:
    """Words after a $ that no agreement fills: "$lastday". A $ with a sum after it is none."""
    return sorted({name for name in Template(text).get_identifiers() if name not in PLACES})
