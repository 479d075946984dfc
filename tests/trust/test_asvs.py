from collections import Counter
from datetime import date

from tests.trust.bars_asvs import ROWS_OF_LEVEL, by_a_bar_that_is_not_met, by_an_old_look, rows, without_proof


def test_every_row_of_both_levels_is_there_once():
    table = rows()
    assert len({each["row"] for each in table}) == len(table)
    counted = Counter(each["level"] for each in table)
    assert {level: counted[level] for level in ROWS_OF_LEVEL} == ROWS_OF_LEVEL


def test_a_row_waits_for_the_bar_that_proves_it():
    row = {"row": "1.2.1", "proof or reason": "bar 23"}
    assert by_a_bar_that_is_not_met([row], {"23": {"verdict": "met"}}) == []
    assert by_a_bar_that_is_not_met([row], {"23": {"verdict": "NOT MET"}}) == ["1.2.1"]
    assert by_a_bar_that_is_not_met([row], {}) == ["1.2.1"]


def test_every_row_names_what_proves_it():
    assert without_proof(rows()) == []


def test_a_row_that_names_no_test_is_found():
    row = next(each for each in rows() if each["stands"] == "pass")
    assert without_proof([row | {"proof or reason": "tests/shop/test_sign_in.py::test_not_there"}]) == [
        row["row"]
    ]


def test_a_row_that_rests_on_the_registry_waits_for_a_look_of_this_week():
    row = {"row": "15.2.1", "proof or reason": "tests/trust/test_newest.py::test_nothing"}
    looked = {"looked_on": "2026-03-02"}
    assert by_an_old_look([row], on=date(2026, 3, 9), record=looked) == []
    assert by_an_old_look([row], on=date(2026, 3, 10), record=looked) == ["15.2.1"]
    assert by_an_old_look([row], on=date(2026, 3, 2), record={}) == ["15.2.1"]
