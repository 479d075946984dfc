from datetime import date

import pytest

from shop.calc.drafting import ListingFacts, Work, draft
from shop.calc.sheet_lines import dated_line, parted


@pytest.mark.parametrize(
    ("line", "words", "day"),
    [
        ("Hammers shaped: by hand (2 April 2026).", "Hammers shaped: by hand.", date(2026, 4, 2)),
        (
            "Touch set, 50 g (12 March 2026). Accepted outside its limit: key 3 left.",
            "Touch set, 50 g. Accepted outside its limit: key 3 left.",
            date(2026, 3, 12),
        ),
        ("Hammers shaped.", "Hammers shaped.", None),
        ("Strings (two of them) cleaned.", "Strings (two of them) cleaned.", None),
        ("Pins set (31 February 2026).", "Pins set (31 February 2026).", None),
        ("Eased (1 May 2026), again (2 May 2026).", "Eased (1 May 2026), again (2 May 2026).", None),
    ],
)
def test_the_day_of_a_line_stands_apart_from_its_words(line, words, day):
    assert dated_line(line) == (words, day)


def test_what_was_not_examined_stands_apart_from_what_was_left():
    lines = [
        "Not done: re-cover the hammers.",
        "Not examined: bridges.",
        "not examined: The pins, top octave.",
    ]
    assert parted(lines) == (("Not done: re-cover the hammers.",), ("Bridges.", "The pins, top octave."))


def test_the_lines_that_a_draft_writes_are_understood():
    facts = ListingFacts(
        maker="Halden & Rook",
        kind="Upright",
        done=(Work(name="Shape the hammers", result="by hand", done_on="2 April 2026"),),
        not_examined=("Bridges",),
    )
    drafted = draft(facts)
    assert dated_line(drafted.work_done[0].text) == ("Shape the hammers: by hand.", date(2026, 4, 2))
    assert parted(each.text for each in drafted.not_done) == ((), ("Bridges.",))
