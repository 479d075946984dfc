"""Sources: Library of Congress, EDTF specification of 4 Feb 2019 (loc.gov/standards/datetime), and the open
test vectors of ixc/python-edtf (edtf/parser/tests.py), unless a line says otherwise."""

from datetime import date, timedelta

import pytest
from edtf import parse_edtf
from hypothesis import given, settings
from hypothesis import strategies as st

from instruments.calc.edtf import bounds, is_hedged


def days(text):
    """ "1912-01-01 1912-12-31", with "-" for an end that is open or unknown."""
    return tuple(None if day == "-" else date.fromisoformat(day) for day in text.split())


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("1985-04-12", "1985-04-12 1985-04-12"),
        ("1985-04", "1985-04-01 1985-04-30"),
        ("1985", "1985-01-01 1985-12-31"),
        ("2004-02", "2004-02-01 2004-02-29"),
        ("1964/2008", "1964-01-01 2008-12-31"),
        ("2004-06/2006-08", "2004-06-01 2006-08-31"),
        ("2004-02-01/2005", "2004-02-01 2005-12-31"),
        ("1985-04-12T23:20:30", "1985-04-12 1985-04-12"),
        ("1985-04-12T23:20:30Z", "1985-04-12 1985-04-12"),
        ("1985-04-12T23:20:30-04", "1985-04-12 1985-04-12"),
        ("1985-04-12T23:20:30+04:30", "1985-04-12 1985-04-12"),
    ],
)
def test_level_0_is_read(text, expected):
    assert bounds(text) == days(expected)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("1984?", "1984-01-01 1984-12-31"),
        ("2004-06~", "2004-06-01 2004-06-30"),
        ("2004-06-11%", "2004-06-11 2004-06-11"),
        ("1984%", "1984-01-01 1984-12-31"),
        ("199X", "1990-01-01 1999-12-31"),
        ("201X", "2010-01-01 2019-12-31"),
        ("19XX", "1900-01-01 1999-12-31"),
        ("20XX", "2000-01-01 2099-12-31"),
        ("1999-XX", "1999-01-01 1999-12-31"),
        ("2004-XX", "2004-01-01 2004-12-31"),
        ("2004-07-XX", "2004-07-01 2004-07-31"),
        ("2004-XX-XX", "2004-01-01 2004-12-31"),
        ("/2006", "- 2006-12-31"),
        ("2004-06-01/", "2004-06-01 -"),
        ("../2006", "- 2006-12-31"),
        ("1985-04-12/..", "1985-04-12 -"),
        ("1984~/2004-06", "1984-01-01 2004-06-30"),
        ("1984?/2004%", "1984-01-01 2004-12-31"),
        ("2004-06-XX/2004-07-03", "2004-06-01 2004-07-03"),
    ],
)
def test_level_1_is_read(text, expected):
    assert bounds(text) == days(expected)


# The standard gives seasons no months: these are the shop's own choice, stated in the docstring.
@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("2001-21", "2001-03-01 2001-05-31"),
        ("2001-22", "2001-06-01 2001-08-31"),
        ("2001-23", "2001-09-01 2001-11-30"),
        ("2001-24", "2001-12-01 2002-02-28"),
        ("2003-24~", "2003-12-01 2004-02-29"),
        ("199X-21", "1990-03-01 1999-05-31"),
        ("9999-24", "9999-12-01 9999-12-31"),
    ],
)
def test_seasons_have_three_months_each(text, expected):
    assert bounds(text) == days(expected)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("156X-12-25", "1560-12-25 1569-12-25"),
        ("15XX-12-25", "1500-12-25 1599-12-25"),
        ("XXXX-12-XX", "0001-12-01 9999-12-31"),
        ("1XXX-XX", "1000-01-01 1999-12-31"),
        ("1984-1X", "1984-10-01 1984-12-31"),
        ("19X3", "1903-01-01 1993-12-31"),  # from memory: level 2 only
        ("[1667,1668,1670..1672]", "1667-01-01 1672-12-31"),
        ("[..1760-12-03]", "- 1760-12-03"),
        ("[1760-12..]", "1760-12-01 -"),
        ("[1760-01, 1760-02, 1760-12..]", "1760-01-01 -"),
        ("[1667,1760-12]", "1667-01-01 1760-12-31"),
        ("2004-06-~11", "2004-06-11 2004-06-11"),
        ("?2004-%06", "2004-06-01 2004-06-30"),
        ("2004-06~-11", "2004-06-11 2004-06-11"),
        ("?2004-06-04~", "2004-06-04 2004-06-04"),
        ("2004-06-~01/2004-06-~20", "2004-06-01 2004-06-20"),
    ],
)
def test_the_chosen_part_of_level_2_is_read(text, expected):
    assert bounds(text) == days(expected)


# Source: derived from the calendar.
@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("19XX-02-29", "1904-02-29 1996-02-29"),
        ("1985-0X-31", "1985-01-31 1985-08-31"),
        ("1900-02-2X", "1900-02-20 1900-02-28"),
        ("000X", "0001-01-01 0009-12-31"),
        ("0001", "0001-01-01 0001-12-31"),
        ("9999-12-31", "9999-12-31 9999-12-31"),
    ],
)
def test_x_stands_for_days_that_exist_only(text, expected):
    assert bounds(text) == days(expected)


# The forms the shop meets most; bounds derived from the rules above.
@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("1931?", "1931-01-01 1931-12-31"),
        ("1931~", "1931-01-01 1931-12-31"),
        ("1931%", "1931-01-01 1931-12-31"),
        ("193X", "1930-01-01 1939-12-31"),
        ("1930/1935", "1930-01-01 1935-12-31"),
        ("1930?/1935~", "1930-01-01 1935-12-31"),
        ("../1975", "- 1975-12-31"),
    ],
)
def test_the_shops_own_forms_are_read(text, expected):
    assert bounds(text) == days(expected)


@pytest.mark.parametrize(
    "text",
    [
        "2016-13-08",
        "2016-02-39",
        "Y17E7-12-26",
        "2004-(06)?-11",
        "(2004-(06)~)?",
        "",
        "not a edtf string",
        "199u",
        "1984?~",
        "unknown/2006",
        "19310401",
        "193x",
        "Y1931",
        "19310",
        "c.1931",
        "1931-02-30",
    ],
)
def test_invalid_texts_are_refused(text):
    with pytest.raises(ValueError, match=r"\.$"):
        bounds(text)


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("Y170000002", "more than four digits"),
        ("Y17E7", "Exponent years"),
        ("-0044", "Negative years"),
        ("0000", "year 0000"),
        ("1950S2", "Significant digits"),
        ("{1960,1961-12}", "Sets of several dates"),
        ("2001-34", "quarters"),
        ("2001-25", "seasons by hemisphere"),
        ("2001-41", "halves of a year"),
        ("1984?~", "written %"),
        ("199u", "capital X"),
        ("19310401", "hyphens"),
        ("open/2006", "open end"),
    ],
)
def test_what_is_outside_the_scope_is_refused_by_name(text, name):
    with pytest.raises(ValueError, match=name):
        bounds(text)


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("1931-02-30", "no day 30 in February 1931"),
        ("1931-13", "no month 13"),
        ("19X3-02-29", "No day of the calendar fits"),
        ("2001-21-05", "A season"),
        ("1914/1910", "backwards"),
        ("[1672..1670]", "backwards"),
        ("1910/1912/1914", "two ends"),
        ("/", "one end at least"),
        ("../..", "one end at least"),
        ("[1927,..,1930]", "first or closes the last"),
        ("[1927,1928", "square brackets"),
        ("~1912?", "marks one part twice"),
        ("1985-04-12T23:20:30/1986", "dates only"),
        ("1985-04-12T24:20:30Z", "no time of day"),
        ("1985-04T10:00:00", "whole and certain date"),
        (" 1912", "no space"),
        ("1912" * 60, "at most 200"),
    ],
)
def test_the_reason_is_readable(text, reason):
    with pytest.raises(ValueError, match=reason):
        bounds(text)


def test_an_interval_that_may_still_run_forwards_is_kept():
    assert bounds("1913-05/1913") == days("1913-05-01 1913-12-31")


@pytest.mark.parametrize(
    ("text", "hedged"),
    [("1912", False), ("1912~", True), ("191X", False), ("1910/1914?", True), ("[1912,~1913]", True)],
)
def test_a_mark_anywhere_makes_a_date_hedged(text, hedged):
    assert is_hedged(text) is hedged


written_years = st.integers(1, 9999).map("{:04}".format)
written_days = st.dates(min_value=date(1, 1, 1)).map(date.isoformat)
written_dates = st.one_of(written_years, written_days, written_days.map(lambda day: day[:7]))


@given(written_dates, st.sampled_from(["", "?", "~", "%"]))
def test_a_mark_never_moves_the_bounds(text, mark):
    assert bounds(text + mark) == bounds(text)


@given(st.dates(min_value=date(1, 1, 1)), st.sets(st.sampled_from([0, 1, 2, 3, 5, 6, 8, 9])))
def test_a_date_lies_within_every_pattern_made_from_it(day, hidden):
    pattern = "".join("X" if place in hidden else sign for place, sign in enumerate(day.isoformat()))
    earliest, latest = bounds(pattern)
    assert earliest <= day <= latest


@given(st.lists(st.dates(min_value=date(1, 1, 1)), min_size=2, max_size=4))
def test_a_set_reaches_from_its_earliest_to_its_latest_date(members):
    text = f"[{','.join(map(date.isoformat, members))}]"
    assert bounds(text) == (min(members), max(members))


# The `edtf` package serves as a second opinion on the forms it reads.
@settings(max_examples=40, deadline=None)
@given(written_dates, written_dates, st.sampled_from(["", "?", "~", "%"]))
def test_dates_and_intervals_agree_with_another_reader(one, other, mark):
    start, end = sorted([one, other])
    text = f"{start}{mark}/{end}" if bounds(start)[0] <= bounds(end)[1] else start + mark
    theirs = parse_edtf(text)
    assert bounds(text) == tuple(date(*day[:3]) for day in (theirs.lower_strict(), theirs.upper_strict()))


@pytest.mark.parametrize(
    "text", ["198X", "19XX", "1560-XX-25", "156X-12-25", "[1667,1668,1670..1672]", "2001-22"]
)
def test_patterns_agree_with_another_reader(text):
    theirs = parse_edtf(text)
    assert bounds(text) == tuple(date(*day[:3]) for day in (theirs.lower_strict(), theirs.upper_strict()))


@given(st.text(alphabet="0123456789X?~%-/.,[]{}TZ:YES ", max_size=24))
def test_any_text_is_read_or_refused_by_a_sentence(text):
    try:
        earliest, latest = bounds(text)
    except ValueError as reason:
        assert str(reason).endswith(".")
    else:
        assert earliest is None or latest is None or latest - earliest >= timedelta(0)
