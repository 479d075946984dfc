"""What people type and how it is understood: our own reading of ordinary English, shown back for approval."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from instruments.calc.edtf import bounds, from_plain_words


@pytest.mark.parametrize("text", ["", "  ", "unknown", "Not known", "undated", "?", "–"])
def test_nothing_known_is_an_empty_date(text):
    assert from_plain_words(text) == ""


@pytest.mark.parametrize(
    "text", ["1912", "1912~", "191X", "1910/1914", "../1975", "1912-05-07", "[1927,1928]"]
)
def test_edtf_comes_back_unchanged(text):
    assert from_plain_words(f" {text} ") == text


def test_a_year_and_month_in_figures_is_edtf_before_it_is_a_pair_of_years():
    assert from_plain_words("1910-12") == "1910-12"


@pytest.mark.parametrize(
    "text",
    [
        "about 1912",
        "About 1912.",
        "c. 1912",
        "c.1912",
        "c1912",
        "ca 1912",
        "circa 1912",
        "1912-ish",
        "1912 or so",
    ],
)
def test_every_way_of_saying_about_is_one_mark(text):
    assert from_plain_words(text) == "1912~"


@pytest.mark.parametrize(
    ("text", "edtf"),
    [
        ("1912?", "1912?"),
        ("possibly 1912", "1912?"),
        ("probably about 1912", "1912%"),
        ("c. 1912?", "1912%"),
        ("made in 1912", "1912"),
    ],
)
def test_doubt_is_another_mark(text, edtf):
    assert from_plain_words(text) == edtf


@pytest.mark.parametrize(
    ("text", "edtf"),
    [
        ("1910 to 1914", "1910/1914"),
        ("from 1910 to 1914", "1910/1914"),
        ("between 1910 and 1914", "1910/1914"),
        ("1910-1914", "1910/1914"),
        ("1910-14", "1910/1914"),
        ("1910 - 12", "1910/1912"),
        ("1910–12", "1910/1912"),
        ("1910 to 14", "1910/1914"),
        ("1910/14", "1910/1914"),
        ("c. 1910-14", "1910~/1914~"),
        ("between about 1910 and 1914", "1910~/1914"),
        ("1910s to 1920s", "191X/192X"),
        ("May to June 1912", "1912-05/1912-06"),
    ],
)
def test_two_ends_are_an_interval(text, edtf):
    assert from_plain_words(text) == edtf


@pytest.mark.parametrize(
    ("text", "edtf"),
    [
        ("1910s", "191X"),
        ("the 1910's", "191X"),
        ("about the 1910s", "191X~"),
        ("193x", "193X"),
        ("early 1910s", "1910/1914~"),
        ("mid-1920s", "1923~/1927~"),
        ("late 1920s", "1925~/1929"),
        ("19th century", "18XX"),
    ],
)
def test_decades_and_centuries_are_read(text, edtf):
    assert from_plain_words(text) == edtf


@pytest.mark.parametrize(
    ("text", "edtf"),
    [
        ("before 1920", "../1919"),
        ("pre-1975", "../1974"),
        ("before May 1912", "../1912-04"),
        ("before 1 January 1975", "../1974-12-31"),
        ("before about 1920", "../1919~"),
        ("before the 1920s", "../1919"),
        ("by 1920", "../1920"),
        ("1920 or earlier", "../1920"),
        ("no later than 1920", "../1920"),
        ("after 1905", "1906/.."),
        ("after 31 December 1905", "1906-01-01/.."),
        ("since 1905", "1905/.."),
        ("1905 or later", "1905/.."),
        ("from 1905 onwards", "1905/.."),
    ],
)
def test_before_and_after_leave_the_named_date_out(text, edtf):
    assert from_plain_words(text) == edtf


@pytest.mark.parametrize(
    ("text", "edtf"),
    [
        ("May 1912", "1912-05"),
        ("Sept. 1912", "1912-09"),
        ("1912 May", "1912-05"),
        ("7th May 1912", "1912-05-07"),
        ("May 7, 1912", "1912-05-07"),
        ("about May 1912", "1912-05~"),
        ("spring 1912", "1912-21"),
        ("Fall of 1912", "1912-23"),
        ("25/12/1912", "1912-12-25"),
        ("12.25.1912", "1912-12-25"),
        ("5/5/1912", "1912-05-05"),
    ],
)
def test_months_days_and_seasons_are_read(text, edtf):
    assert from_plain_words(text) == edtf


@pytest.mark.parametrize(
    ("text", "edtf"),
    [
        ("1927 or 1928", "[1927,1928]"),
        ("1927, 1928, or about 1930", "[1927,1928,1930~]"),
        ("early 1920s or 1935", "[1920..1924~,1935]"),
    ],
)
def test_one_of_several_is_a_set(text, edtf):
    assert from_plain_words(text) == edtf


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("1900s", "write 1900 to 1909, or 19XX"),
        ("early 1900s", "two ways"),
        ("5/7/1912", "write 5 July 1912 or 7 May 1912"),
        ("c. 1910-12", "write 1910 to 1912, or December 1910"),
        ("1914 to 1910", "backwards"),
        ("1910-1908", "backwards"),
        ("31 February 1912", "no day 31 in February 1912"),
        ("1950S2", "Significant digits"),
        ("12", "four digits"),
        ("before 0001", "outside the years"),
        ("when she was a girl", "could not be read as a date. Try 1912"),
        ("May", "could not be read"),
        ("1912 " * 50, "at most 200"),
    ],
)
def test_what_cannot_be_read_is_refused_with_a_way_out(text, reason):
    with pytest.raises(ValueError, match=reason):
        from_plain_words(text)


@given(st.text(alphabet=" 0129abcdefmsty.,-–/?~'", max_size=20))
def test_whatever_is_understood_is_edtf_and_reads_again_as_itself(text):
    try:
        edtf = from_plain_words(text)
    except ValueError as reason:
        assert str(reason).endswith(".")
    else:
        assert from_plain_words(edtf) == edtf
        assert not edtf or bounds(edtf)
