"""Bar 16: the rows of OWASP ASVS 5.0.0 that were looked at, each with what proves it (asvs.tsv)."""

import csv
from collections import Counter
from pathlib import Path

from tests.trust.board import TREE, Figure, measures

TABLE = Path(__file__).parent / "asvs.tsv"
STANDINGS = {"pass", "open", "not applicable"}


def rows(table: Path = TABLE) -> list[dict[str, str]]:
    with table.open(newline="") as lines:
        return list(csv.DictReader(lines, delimiter="\t"))


def without_proof(table: list[dict[str, str]]) -> list[str]:
    """Rows that name a test, a bar or a file that is not there, or no standing that we know."""
    return [each["row"] for each in table if each["stands"] not in STANDINGS or not _is_there(each)]


def _is_there(row: dict[str, str]) -> bool:
    if row["stands"] != "pass":
        return bool(row["proof or reason"])
    file, _, test = row["proof or reason"].partition("::")
    if file.startswith("bar "):
        return file.removeprefix("bar ").isdigit()
    return (TREE / file).is_file() and (not test or f"def {test}(" in (TREE / file).read_text())


@measures(16)
def rows_of_the_standard(long: bool) -> Figure:
    table = rows()
    missing = without_proof(table)
    stands = Counter(each["stands"] for each in table)
    low = [each for each in table if each["level"] in {"1", "2"}]
    said = (
        f"{len(table)} rows looked at ({len(low)} of level 1 and 2): {stands['pass']} pass, "
        f"{stands['not applicable']} do not apply, {stands['open']} open; {len(missing)} without "
        "their proof. The other chapters were not gone through"
    )
    forged = [table[0] | {"proof or reason": "tests/shop/test_sign_in.py::test_that_is_not_there"}]
    return Figure(
        said, False, f"a row that names a test that is not there: {len(without_proof(forged))} found"
    )
