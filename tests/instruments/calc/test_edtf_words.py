"""The words are our own; that they say no more than the EDTF does is what these tests hold to."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from instruments.calc.edtf import describe, from_plain_words


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "not known"),
        ("1912", "1912"),
        ("1912~", "about 1912"),
        ("~1912", "about 1912"),
        ("1931?", "possibly 1931"),
        ("1931%", "possibly about 1931"),
        ("1912-05", "May 1912"),
        ("1912-05-07", "7 May 1912"),
        ("1912-05~", "about May 1912"),
        ("0987", "987"),
        ("1985-04-12T23:20:30Z", "12 April 1985, 23:20:30"),
        ("1912-21", "spring 1912"),
        ("1912-23?", "possibly autumn 1912"),
        ("1912-24", "winter 1912 to 1913"),
        ("191X-24", "winter of some year in the 1910s"),
    ],
)
def test_single_dates_are_told_plainly(text, words):
    assert describe(text) == words


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("191X", "the 1910s"),
        ("191X~", "about the 1910s"),
        ("190X", "some year from 1900 to 1909"),
        ("19XX", "some year from 1900 to 1999"),
        ("19XX~", "some year from 1900 to 1999 (approximate)"),
        ("19X3", "some year from 1903 to 1993 (19X3)"),
        ("XXXX", "some year"),
        ("191X-05", "May of some year in the 1910s"),
        ("1999-XX", "some month of 1999"),
        ("1999-XX-XX", "some day in 1999"),
        ("1999-04-XX", "some day in April 1999"),
        ("1999-XX-12", "day 12 of some month of 1999"),
        ("1984-1X", "October, November or December 1984"),
        ("1900-02-2X", "some day from 20 to 28 February 1900"),
        ("1912-05-X7", "7, 17 or 27 May 1912"),
        ("156X-12-25", "25 December of some year in the 1560s"),
    ],
)
def test_unknown_digits_are_told_as_a_stretch(text, words):
    assert describe(text) == words


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("1910/1914", "between 1910 and 1914"),
        ("1910~/1914", "between about 1910 and 1914"),
        ("../1974", "before 1975"),
        ("../1974-12-31", "before 1 January 1975"),
        ("../1974~", "before about 1975"),
        ("../1974?", "possibly before 1975"),
        ("../197X", "by the end of the 1970s"),
        ("../9999", "by the end of 9999"),
        ("1906/..", "after 1905"),
        ("1912-05/..", "after April 1912"),
        ("191X/..", "from the 1910s on"),
        ("0001/..", "from 1 on"),
        ("/2006", "up to 2006, start not known"),
        ("1906/", "from 1906, end not known"),
        ("[1927,1928]", "1927 or 1928"),
        ("[1667,1668,1670..1672]", "1667, 1668 or between 1670 and 1672"),
        ("[..1984]", "before 1985"),
    ],
)
def test_stretches_and_choices_are_told_plainly(text, words):
    assert describe(text) == words


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("2004-06-~11", "11 June 2004 (day approximate)"),
        ("?2004-%06", "June 2004 (year uncertain, month uncertain and approximate)"),
        ("2004-06~-11", "11 June 2004 (year approximate, month approximate)"),
        ("2001?-21", "spring 2001 (year uncertain)"),
    ],
)
def test_marks_on_single_parts_are_named(text, words):
    assert describe(text) == words


def test_words_for_what_is_not_a_date_are_refused():
    with pytest.raises(ValueError, match="not a date"):
        describe("yesterday")


years = st.integers(1800, 2030)
forms = st.sampled_from(
    [
        "{0}",
        "{0}~",
        "{0}?",
        "{0}%",
        "{0}-05",
        "{0}-05-07~",
        "{0}-22",
        "{0}/{1}",
        "../{0}",
        "{0}/..",
        "[{0},{1}]",
    ]
)


@given(forms, years, st.integers(1, 40))
def test_words_read_back_as_the_same_date(form, year, later):
    text = form.format(year, year + later)
    assert from_plain_words(describe(text)) == text
