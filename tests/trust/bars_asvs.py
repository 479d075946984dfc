"""Bar 16: the rows of OWASP ASVS 5.0.0 of levels 1 and 2, each with what proves it (asvs.tsv).

What a row asks is said there in a few words of our own; the standard has its own wording.
"""

import csv
from collections import Counter
from datetime import date
from pathlib import Path

from tests.trust import newest
from tests.trust.board import TREE, Figure, measures

TABLE = Path(__file__).parent / "asvs.tsv"
STANDINGS = {"pass", "open", "not applicable"}
ROWS_OF_LEVEL = {"1": 70, "2": 183}  # in ASVS 5.0.0
LEAST_OF_LEVEL = {"1": 1.0, "2": 0.95}
MORE_OF_LEVEL_3 = 8


def rows(table: Path = TABLE) -> list[dict[str, str]]:
    with table.open(newline="") as lines:
        return list(csv.DictReader(lines, delimiter="\t"))


def without_proof(table: list[dict[str, str]]) -> list[str]:
    """Rows that name a test, a bar or a file that is not there, or no standing that we know."""
    return [each["row"] for each in table if each["stands"] not in STANDINGS or not _is_there(each)]


def by_a_bar_that_is_not_met(table: list[dict[str, str]], figures: dict[str, dict]) -> list[str]:
    """Rows whose proof is another bar of this board that was not measured, or not met."""
    bars = {each["row"]: each["proof or reason"].removeprefix("bar ") for each in table}
    named = {row: bar for row, bar in bars.items() if bar.isdigit()}
    return [row for row, bar in named.items() if figures.get(bar, {}).get("verdict") != "met"]


def by_an_old_look(table: list[dict[str, str]], *, on: date, record: dict | None = None) -> list[str]:
    """Rows whose proof is what the registry said, when that was too long ago."""
    looked = newest.kept() if record is None else record
    named = [
        each["row"] for each in table if each["proof or reason"].startswith("tests/trust/test_newest.py")
    ]
    return named if newest.is_old(looked, on=on) else []


def _is_there(row: dict[str, str]) -> bool:
    if row["stands"] != "pass":
        return bool(row["proof or reason"])
    file, _, test = row["proof or reason"].partition("::")
    if file.startswith("bar "):
        return file.removeprefix("bar ").isdigit()
    return (TREE / file).is_file() and (not test or f"def {test}(" in (TREE / file).read_text())


@measures(16)
def rows_of_the_standard(long: bool) -> Figure:
    from tests.trust.__main__ import kept

    table = rows()
    missing, waiting = without_proof(table), by_a_bar_that_is_not_met(table, kept())
    waiting += by_an_old_look(table, on=date.today())
    well = {
        level: [
            each
            for each in table
            if each["level"] == level and each["stands"] != "open" and each["row"] not in missing + waiting
        ]
        for level in "123"
    }
    stands = Counter(each["stands"] for each in table)
    levels = ", ".join(
        f"{len(well[level])} of {count} of level {level}" for level, count in ROWS_OF_LEVEL.items()
    )
    said = (
        f"{levels} and {len(well['3'])} more of level 3 pass or do not apply; of {len(table)} rows "
        f"{stands['pass']} pass, {stands['not applicable']} do not apply, {stands['open']} are open; "
        f"{len(waiting)} by a bar that is not met on this board or a look that is old, "
        f"{len(missing)} without their proof"
    )
    met = not missing and len(well["3"]) >= MORE_OF_LEVEL_3
    met = met and all(
        len(well[level]) >= count * LEAST_OF_LEVEL[level] for level, count in ROWS_OF_LEVEL.items()
    )
    proven = next(each for each in table if each["stands"] == "pass")
    forged = [proven | {"proof or reason": "tests/shop/test_sign_in.py::test_that_is_not_there"}]
    return Figure(said, met, f"a row that names a test that is not there: {len(without_proof(forged))} found")
