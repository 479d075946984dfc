"""Rule: OWASP, "CSV Injection"; the full-width forms and invisible marks are our own addition."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from instruments.calc.cells import guarded, guarded_for_xlsx, unguarded

ARMED = [
    "=1+1",
    '=HYPERLINK("http://example.com","x")',
    "=cmd|' /C calc'!A0",
    "+1+1",
    "-1+1",
    "@SUM(A1)",
    "\t=1",
    "\r=1",
    "\n=1",
    "\0=1",
    "  =1",
    "\u00a0=1",
    "\ufeff=1",
    "\u200b=1",
    "＝1+1",
    "＋1",
    "－1",
    "＠x",
    "+44 20 7946 0000",
]
PLAIN = ["Halden & Rook", "", "1912~", "A0..A7", "a = b", "52 g", "'tis old", "O'Hara", "£1,800", "–", "3-4"]
texts = st.text(alphabet=st.sampled_from("'=+-@\t\r\n\0 ＝＋－＠\ufeffaé1"), max_size=8)


@pytest.mark.parametrize("text", ARMED)
def test_armed_text_gets_an_apostrophe(text):
    assert guarded(text) == f"'{text}"


@pytest.mark.parametrize("text", PLAIN)
def test_plain_text_stays_as_it_is(text):
    assert guarded(text) == guarded_for_xlsx(text) == unguarded(text) == text


@pytest.mark.parametrize("text", ARMED)
def test_armed_text_needs_no_apostrophe_in_a_cell_marked_as_text(text):
    assert guarded_for_xlsx(text) == text


def test_exactly_one_apostrophe_is_taken_off():
    assert unguarded("''=1") == "'=1"
    assert unguarded("'Halden") == "'Halden"


@given(texts)
def test_guard_and_its_removal_give_the_text_back(text):
    assert unguarded(guarded(text)) == text
    assert unguarded(guarded_for_xlsx(text)) == text


@given(texts)
def test_guarded_text_never_begins_with_an_armed_character(text):
    assert guarded(text).lstrip(" \u00a0\ufeff")[:1] not in list("=+-@\t\r\n\0＝＋－＠")
