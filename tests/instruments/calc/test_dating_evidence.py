"""Worked by hand from the dates. Doubt is 3653 days each way: our own rule, see calc/evidence/days.py."""

import pytest

from instruments.calc.dating_evidence import making_bounds
from instruments.calc.evidence import Claim


def said(asserts: str, edtf: str) -> list[tuple[str, int]]:
    claim = Claim("1", "general", "document", "something", edtf, asserts, "the Ardens")
    return [(bound.side, bound.year) for bound in making_bounds(claim)]


@pytest.mark.parametrize(
    ("asserts", "edtf", "bounds"),
    [
        ("made", "1910/1914", [("not before", 1910), ("not after", 1914)]),
        ("made", "1912~", [("not before", 1901), ("not after", 1923)]),
        ("patent", "1904", [("not before", 1904)]),
        ("restrung", "1921", [("not after", 1921)]),
        ("repaired", "192X", [("not after", 1929)]),
        ("owned", "1898/1905", [("not after", 1898)]),
        ("owned", "1920", [("not after", 1920)]),
        ("moved", "1950/..", []),
        ("original", "1920", []),
        ("", "1920", []),
        ("made", "", []),
    ],
)
def test_a_claim_bounds_the_making_by_its_date(asserts, edtf, bounds):
    assert said(asserts, edtf) == bounds
