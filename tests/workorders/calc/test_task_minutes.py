import statistics

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workorders.calc.task_minutes import percent_off, task_minutes

MINUTES = st.lists(st.integers(1, 3000), min_size=2, max_size=40)


def test_five_jobs_worked_by_hand():
    """Sorted 60, 80, 90, 100, 300: quartiles at ranks 2 and 4, so 80 and 100; fences 80 - 30 and 100 + 30."""
    found = task_minutes([90, 300, 60, 100, 80])
    assert (found.count, found.median, found.lower, found.upper) == (5, 90, 80, 100)
    assert [each for each in (60, 90, 300) if found.is_unusual(each)] == [300]


def test_between_two_jobs_the_quartiles_are_interpolated():
    """Type 7 at a quarter of the way from the first to the last of 60, 70, 90, 120: rank 1.75, so 67.5."""
    found = task_minutes([120, 60, 90, 70])
    assert (found.lower, found.median, found.upper) == (67.5, 80, 97.5)
    assert (found.lower_minutes, found.usual, found.upper_minutes) == (68, 80, 98)


@given(MINUTES)
def test_figures_are_those_of_the_standard_library(minutes):
    found = task_minutes(minutes)
    lower, _, upper = statistics.quantiles(minutes, n=4, method="inclusive")
    assert found.median == statistics.median(minutes)
    assert (float(found.lower), float(found.upper)) == (pytest.approx(lower), pytest.approx(upper))


@given(MINUTES)
def test_a_quarter_of_the_jobs_lies_beyond_each_quartile_and_nothing_between_them_is_unusual(minutes):
    found, a_quarter = task_minutes(minutes), -(-(len(minutes) - 1) // 4)
    assert sum(each < found.lower for each in minutes) <= a_quarter
    assert sum(each > found.upper for each in minutes) <= a_quarter
    assert not any(found.is_unusual(each) for each in minutes if found.lower <= each <= found.upper)


def test_one_or_two_jobs_are_told_and_are_not_enough():
    assert task_minutes([]) is None
    assert [task_minutes([90] * count).is_enough for count in (1, 2, 3)] == [False, False, True]


def test_with_four_jobs_none_is_called_unusual():
    assert not task_minutes([10, 10, 10, 2000]).is_unusual(2000)


def test_a_job_of_no_time_is_refused():
    with pytest.raises(ValueError, match="no time"):
        task_minutes([60, 0])


@pytest.mark.parametrize(("usual", "median", "off"), [(90, 120, 33), (120, 90, -25), (60, 60, 0), (8, 9, 13)])
def test_how_far_off_the_usual_minutes_are(usual, median, off):
    assert percent_off(usual, median) == off
