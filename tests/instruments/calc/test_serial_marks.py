"""The method and its allowances are our own; every mark here is invented."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from instruments.calc.serial_marks import EXACTNESS, SerialMark, grouped, serial_dating


def marks(*rows) -> list[SerialMark]:
    return [SerialMark(serial, year, exactness, "works book") for serial, year, exactness in rows]


EXACT = marks((12000, 1905, "exact"), (15000, 1910, "exact"))
TABLE = marks((12000, 1905, "table"), (15000, 1906, "table"))
ABOUT = marks((12000, 1905, "about"), (15000, 1910, "about"))


@pytest.mark.parametrize(
    ("serial", "known", "years"),
    [
        (13000, EXACT, (1905, 1910)),
        (12000, EXACT, (1905, 1905)),
        (11000, EXACT, (None, 1905)),
        (16000, EXACT, (1910, None)),
        (13000, TABLE, (1904, 1906)),
        (12000, TABLE, (1904, 1906)),
        (15000, TABLE, (1905, None)),
        (13000, ABOUT, (1902, 1913)),
        (12000, ABOUT, (1902, 1913)),
        (13000, [], (None, None)),
    ],
)
def test_a_number_is_bracketed_as_tightly_as_its_marks_allow(serial, known, years):
    assert serial_dating(serial, known).years == years


def test_a_farther_exact_mark_beats_a_nearer_loose_one():
    known = marks((12000, 1905, "exact"), (12900, 1905, "about"), (15000, 1910, "exact"))
    dated = serial_dating(13000, known)
    assert (dated.years, [mark.serial for mark in dated.rests_on]) == ((1905, 1910), [12000, 15000])


def test_marks_that_disagree_widen_the_range_and_say_so():
    dated = serial_dating(13000, marks((12000, 1912, "exact"), (15000, 1908, "exact")))
    assert (dated.years, dated.marks_agree) == ((1908, 1912), False)
    assert dated.sentence.endswith("These marks disagree, so the range holds them all.")


def test_one_number_with_two_exact_years_gives_both():
    dated = serial_dating(12000, marks((12000, 1905, "exact"), (12000, 1907, "exact")))
    assert (dated.years, dated.marks_agree) == ((1905, 1907), False)


def test_the_sentence_names_range_marks_and_sources():
    known = [
        SerialMark(30000, 1910, "table", "directory of 1931."),
        SerialMark(33000, 1914, "about", "a colleague's list"),
    ]
    assert serial_dating(31447, known).sentence == (
        "Number 31\u202f447 was made between 1909 and 1917: 30\u202f000 is of 1910 (directory of 1931); "
        "33\u202f000 is of about 1914 (a colleague's list)."
    )


def test_without_marks_the_sentence_says_so():
    assert serial_dating(31447, []).sentence == "No mark of this maker says when number 31\u202f447 was made."


@pytest.mark.parametrize(("serial", "words"), [(7, "7"), (9999, "9999"), (10000, "10\u202f000")])
def test_long_numbers_are_grouped(serial, words):
    assert grouped(serial) == words


@pytest.mark.parametrize(
    ("row", "reason"),
    [
        ((0, 1905, "exact", "x"), "1 or more"),
        ((5, 1505, "exact", "x"), "between 1700"),
        ((5, 1905, "sure", "x"), "exact, from a table or about"),
        ((5, 1905, "exact", " "), "source"),
    ],
)
def test_a_mark_that_cannot_be_right_is_refused(row, reason):
    with pytest.raises(ValueError, match=reason):
        SerialMark(*row)


def test_a_serial_below_one_is_refused():
    with pytest.raises(ValueError, match="1 or more"):
        serial_dating(0, EXACT)


some_marks = st.lists(
    st.builds(
        SerialMark, st.integers(1, 40), st.integers(1850, 1930), st.sampled_from(EXACTNESS), st.just("x")
    ),
    max_size=8,
)


@given(st.integers(1, 40), some_marks)
def test_a_single_year_needs_an_exact_mark(serial, known):
    earliest, latest = serial_dating(serial, known).years
    if earliest is not None and earliest == latest:
        assert "exact" in {mark.exactness for mark in known}


def test_loose_marks_that_meet_only_by_their_allowance_give_no_single_year():
    known = [SerialMark(10, 1900, "table", "x"), SerialMark(20, 1899, "table", "x")]
    dated = serial_dating(15, known)
    assert (dated.years, dated.marks_agree) == ((1899, 1900), False)


@given(st.integers(1, 40), some_marks)
def test_a_range_never_runs_backwards(serial, known):
    earliest, latest = serial_dating(serial, known).years
    assert earliest is None or latest is None or earliest <= latest


@given(st.integers(1, 40), some_marks, st.randoms(use_true_random=False))
def test_the_order_of_marks_means_nothing(serial, known, random):
    assert serial_dating(serial, random.sample(known, len(known))) == serial_dating(serial, known)


@given(st.integers(1, 40), st.lists(st.tuples(st.integers(1, 40), st.integers(0, 3)), max_size=8))
def test_the_true_year_lies_in_the_range_of_true_marks(serial, steps):
    """Years that rise with the numbers, whatever the marks' exactness within their allowance."""

    def year_of(number: int) -> int:
        return 1850 + sum(step for at, step in steps if at <= number)

    known = [SerialMark(number, year_of(number), "exact", "x") for number, _ in steps]
    earliest, latest = serial_dating(serial, known).years
    assert (earliest or 0) <= year_of(serial) <= (latest or 3000)
