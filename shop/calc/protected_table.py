"""Reading fixtures/protected_materials.json, and what is wrong with it."""

from collections.abc import Iterable, Iterator
from datetime import date
from decimal import Decimal, InvalidOperation

from instruments.calc.edtf import bounds
from shop.calc.protected import ACTS, KINDS, LEVELS, PAPERS, Condition, Law, Rule

RULE_WORDS = ("sentence", "source", "read_as_of")
CONDITION_WORDS = ("fails_sentence", "source", "read_as_of")
MEASURED_MAY = "cautioned"  # a rough estimate never blocks


def laws_from(table: dict) -> dict[str, Law]:
    """Each law by its code. KeyError or ValueError where `table_faults` would find something."""
    return {
        law["code"]: Law(
            code=law["code"],
            ends_with_owner=_with_unnamed(law["ends_with_owner"]),
            rules=tuple(_rule(row) for row in law["rules"]),
            conditions=tuple(_condition(row) for row in law["conditions"]),
        )
        for law in table["laws"]
    }


def _with_unnamed(papers: list[str]) -> frozenset[str]:
    """Where any paper ends with the owner, so does one whose kind nobody wrote down."""
    return frozenset([*papers, ""] if papers else [])


def _rule(row: dict) -> Rule:
    return Rule(
        materials=frozenset(row["materials"]),
        acts=frozenset(row["acts"]),
        without=row["without"],
        with_=row["with"],
        papers=frozenset(row["papers"]),
        sentence=row["sentence"],
        with_sentence=row["with_sentence"],
        source=row["source"],
        read_as_of=row["read_as_of"],
    )


def _condition(row: dict) -> Condition:
    limit = row["limit"]
    return Condition(
        kind=row["kind"],
        limit=date.fromisoformat(limit) if row["kind"] == "made_before" else Decimal(limit),
        materials=frozenset(row["materials"]),
        acts=frozenset(row["acts"]),
        fails=row["fails"],
        fails_sentence=row["fails_sentence"],
        unproven_sentence=row["unproven_sentence"],
        source=row["source"],
        read_as_of=row["read_as_of"],
        counts_added=row.get("counts_added", False),
        unless_certificate=row.get("unless_certificate", False),
    )


def table_faults(table: dict, laws: Iterable[str]) -> list[str]:
    """What is missing, told twice or misspelt; `laws` are the codes a shop can choose. No fault, no line."""
    try:
        return list(_faults(table, set(laws)))
    except (KeyError, TypeError) as gap:
        return [f"a row lacks {gap}"]


def _faults(table: dict, wanted: set[str]) -> Iterator[str]:
    materials = {row["code"] for row in table["materials"]}
    given = [law["code"] for law in table["laws"]]
    for code in sorted(wanted - set(given)):
        yield f"there is no law “{code}”"
    for code in sorted({code for code in given if given.count(code) > 1 or code not in wanted}):
        yield f"the law “{code}” is told twice, or nobody can choose it"
    for law in table["laws"]:
        for row in law["rules"]:
            yield from _row_faults(law["code"], row, materials, RULE_WORDS)
            yield from _rule_faults(law["code"], row)
        for row in law["conditions"]:
            yield from _row_faults(law["code"], row, materials, CONDITION_WORDS)
            yield from _condition_faults(law["code"], row)
        yield from _gaps(law, materials)


def _row_faults(code: str, row: dict, materials: set[str], words: Iterable[str]) -> Iterator[str]:
    for name in sorted(set(row["materials"]) - materials):
        yield f"{code}: there is no material “{name}”"
    for name in sorted(set(row["acts"]) - set(ACTS)):
        yield f"{code}: there is no act “{name}”"
    for word in words:
        if not row[word].strip():
            yield f"{code}: {', '.join(row['acts'])} of {', '.join(row['materials'])} lacks its {word}"
    try:
        bounds(row["read_as_of"])
    except ValueError:
        yield f"{code}: “{row['read_as_of']}” is not a date"


def _rule_faults(code: str, row: dict) -> Iterator[str]:
    for level in sorted({row["without"], row["with"]} - set(LEVELS)):
        yield f"{code}: “{level}” is none of {', '.join(LEVELS)}"
    for paper in sorted(set(row["papers"]) - PAPERS):
        yield f"{code}: there is no paper “{paper}”"
    if bool(row["papers"]) != bool(row["with_sentence"]):
        yield f"{code}: a paper and the sentence for it go together"


def _condition_faults(code: str, row: dict) -> Iterator[str]:
    if row["kind"] not in KINDS:
        yield f"{code}: “{row['kind']}” is none of {', '.join(sorted(KINDS))}"
    elif row["kind"] != "made_before" and row["fails"] != MEASURED_MAY:
        yield f"{code}: a measure is rough, so that it may only caution"
    if row["fails"] not in LEVELS:
        yield f"{code}: “{row['fails']}” is none of {', '.join(LEVELS)}"
    try:
        date.fromisoformat(row["limit"]) if row["kind"] == "made_before" else Decimal(row["limit"])
    except (ValueError, InvalidOperation):
        yield f"{code}: “{row['limit']}” is no limit of this kind"


def _gaps(law: dict, materials: set[str]) -> Iterator[str]:
    for material in sorted(materials):
        for act in ACTS:
            told = [row for row in law["rules"] if material in row["materials"] and act in row["acts"]]
            if len(told) != 1:
                yield f"{law['code']}: {act} of {material} is told {len(told)} times"
    for act in ACTS:
        asked = {
            tuple(sorted(row["papers"]))
            for row in law["rules"]
            if act in row["acts"] and row["without"] == "blocked"
        }
        if len(asked) > 1:
            yield f"{law['code']}: {act} asks for different papers, and the window knows one set"
