"""The method is our own bracketing; the marks here are invented."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from instruments.calc import dating
from instruments.calc.dating import Bound
from instruments.calc.edtf import bounds

MARKS = [(12000, 1905), (15000, 1910), (18000, 1914)]


@pytest.mark.parametrize(
    ("serial", "years"),
    [
        (13000, (1905, 1910)),
        (17999, (1910, 1914)),
        (15000, (1910, 1910)),
        (9000, (None, 1905)),
        (20000, (1914, None)),
    ],
)
def test_a_serial_lies_between_its_neighbouring_marks(serial, years):
    assert dating.year_range(serial, MARKS) == years


def test_without_marks_nothing_is_known():
    assert dating.year_range(12345, []) == (None, None)


def test_the_order_of_marks_does_not_matter():
    assert dating.year_range(13000, MARKS[::-1]) == (1905, 1910)


def test_the_marks_a_range_rests_on_are_named():
    assert dating.neighbouring_marks(13000, MARKS) == ((12000, 1905), (15000, 1910))


@pytest.mark.parametrize(
    ("serial", "marks", "years"),
    [
        (15, [(10, 1912), (20, 1908)], (1908, 1912)),
        (15, [(15, 1912), (15, 1909)], (1909, 1912)),
        (15, [(10, 1905), (10, 1907), (20, 1910), (20, 1912)], (1905, 1912)),
    ],
)
def test_contradictory_marks_widen_the_range(serial, marks, years):
    assert dating.year_range(serial, marks) == years


def test_marks_that_cannot_both_be_right_are_named():
    marks = [(10, 1912), (20, 1908), (30, 1915), (30, 1916)]
    assert dating.conflicting_marks(marks) == [((10, 1912), (20, 1908)), ((30, 1915), (30, 1916))]


def test_consistent_marks_have_no_conflict():
    assert dating.conflicting_marks(MARKS) == []


rising_marks = st.lists(st.tuples(st.integers(1, 10**6), st.integers(0, 3)), min_size=1, max_size=8).map(
    lambda rows: [(serial, 1850 + sum(step for other, step in rows if other <= serial)) for serial, _ in rows]
)


@given(rising_marks, st.integers(1, 10**6))
def test_another_consistent_mark_never_widens_the_range(marks, serial):
    earliest, latest = dating.year_range(serial, marks)
    fewer_earliest, fewer_latest = dating.year_range(serial, marks[1:])
    assert fewer_earliest is None or earliest >= fewer_earliest
    assert fewer_latest is None or latest <= fewer_latest


PATENT = Bound("not before", 1907, "patent number cast in the frame")
REPAIR = Bound("not after", 1909, "pencilled repair date")


def test_each_piece_of_evidence_shows_what_it_narrows():
    steps = dating.narrowed((1905, 1910), [PATENT, REPAIR])
    assert [(step.years, step.effect) for step in steps] == [
        ((1907, 1910), "narrows"),
        ((1907, 1909), "narrows"),
    ]


@pytest.mark.parametrize(
    ("bound", "years", "effect"),
    [
        (Bound("not before", 1904), (1905, 1910), "agrees"),
        (Bound("not after", 1912), (1905, 1910), "agrees"),
        (Bound("not before", 1911), (1905, 1910), "contradicts"),
        (Bound("not after", 1904), (1905, 1910), "contradicts"),
    ],
)
def test_evidence_that_does_not_narrow_leaves_the_range(bound, years, effect):
    step = dating.narrowed((1905, 1910), [bound])[0]
    assert (step.years, step.effect) == (years, effect)


def test_evidence_closes_an_open_end():
    assert dating.narrowed((None, None), [REPAIR, PATENT])[-1].years == (1907, 1909)


def test_evidence_of_another_kind_is_refused():
    with pytest.raises(ValueError, match="not before"):
        Bound("about", 1907)


def test_a_range_that_runs_backwards_is_refused():
    with pytest.raises(ValueError, match="backwards"):
        dating.narrowed((1910, 1905), [PATENT])


pieces = st.lists(
    st.builds(Bound, st.sampled_from(["not before", "not after"]), st.integers(1880, 1930)), max_size=6
)


@given(pieces)
def test_evidence_never_widens_or_empties_a_range(evidence):
    years = (1890, 1920)
    for step in dating.narrowed(years, evidence):
        assert years[0] <= step.years[0] <= step.years[1] <= years[1]
        years = step.years


@pytest.mark.parametrize(
    ("years", "edtf"),
    [
        ((1910, 1914), "1910/1914"),
        ((1912, 1912), "1912"),
        ((None, 1914), "../1914"),
        ((1910, None), "1910/.."),
        ((None, None), ""),
    ],
)
def test_a_range_is_written_as_edtf(years, edtf):
    assert dating.years_edtf(years) == edtf


@given(st.integers(1800, 2000), st.integers(0, 30))
def test_the_edtf_of_a_range_has_its_bounds(earliest, span):
    first, last = bounds(dating.years_edtf((earliest, earliest + span)))
    assert (first.year, last.year) == (earliest, earliest + span)


@pytest.mark.parametrize(
    ("new", "old", "looser"),
    [
        ("1904/1912", "1907", True),
        ("1907", "1904/1912", False),
        ("1904/1912", "1904/1912", False),
        ("1907/..", "1904/1912", True),
        ("1904/1912", "1907/..", False),
        ("1900/..", "1907/..", True),
        ("1907/..", "1900/..", False),
        ("1907/..", "../1912", False),
        ("1904/1912", "1920/1921", True),
    ],
)
def test_a_range_is_looser_than_another_when_it_says_less(new, old, looser):
    assert dating.is_looser(bounds(new), bounds(old)) == looser
