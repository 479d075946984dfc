"""14, 7 and 0 days before the end: common practice, no source. Header lines: RFC 5322, 2.2."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.calc.reminders import MARKS, OVERDUE, left_words, mark_due, mark_words, one_line

END = date(2026, 5, 2)
LONG_AGO = END - timedelta(days=42)


@pytest.mark.parametrize(
    ("days_before", "mark"),
    [(15, None), (14, 14), (13, 14), (8, 14), (7, 7), (6, 7), (1, 7), (0, 0), (-1, OVERDUE), (-90, OVERDUE)],
)
def test_the_nearest_mark_that_has_come_speaks(days_before, mark):
    assert mark_due(END, END - timedelta(days=days_before), since=LONG_AGO) == mark


def test_a_mark_before_it_was_promised_never_speaks():
    since = END - timedelta(days=10)
    asked = [mark_due(END, since + timedelta(days=n), since=since) for n in range(11)]
    assert asked == [None, None, None, 7, 7, 7, 7, 7, 7, 7, 0]


@given(st.integers(0, 90), st.integers(0, 60))
def test_run_every_day_each_mark_speaks_first_on_its_day(length, _):
    since, said = END - timedelta(days=length), {}
    for n in range(length + 3):
        on = since + timedelta(days=n)
        if (mark := mark_due(END, on, since=since)) is not None:
            said.setdefault(mark, on)
    wanted = {mark: END - timedelta(days=mark) for mark in (*MARKS, OVERDUE) if mark <= length}
    assert said == wanted


def test_it_is_told_in_words():
    assert [mark_words(each) for each in (14, 0, OVERDUE)] == [
        "14 days before",
        "on the last day",
        "after the last day",
    ]
    words = [left_words(END, END - timedelta(days=n)) for n in (14, 1, 0, -1)]
    assert words == ["that is in 14 days", "that is tomorrow", "that is today", "that day has passed"]


@given(st.text(max_size=400))
def test_a_head_line_is_one_line_whatever_is_in_it(text):
    line = one_line(text)
    assert len(line) <= 200
    assert len(line.splitlines()) <= 1
    assert line == line.strip()
