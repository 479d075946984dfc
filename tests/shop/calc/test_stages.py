"""Days in each stage: no source, arithmetic of days."""

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from shop.calc.stages import Milestones, stage_days

DAY = date(2026, 1, 1)


def day(number: int) -> date:
    return DAY + timedelta(days=number)


def test_each_stage_runs_to_the_next():
    found = stage_days(Milestones(day(0), day(10), day(40), day(50), day(90)), on=day(100))
    assert list(found.days.values()) == [10, 30, 10, 40, 10]
    assert found.stage == "promised"


def test_work_that_is_open_stays_on_the_bench():
    found = stage_days(Milestones(day(0), work_begun=day(5)), on=day(9))
    assert (found.days["waiting"], found.days["bench"], found.stage) == (5, 4, "bench")


def test_what_is_sold_stands_in_no_stage_and_counts_no_more_days():
    found = stage_days(Milestones(day(0), offered=day(3), sold=day(8)), on=day(50))
    assert (found.total, found.stage) == (8, "")


def test_offered_before_the_work_ended_it_goes_back_to_what_came_last():
    found = stage_days(Milestones(day(0), day(2), day(9), day(5)), on=day(12))
    assert (found.days["window"], found.days["ready"], found.stage) == (4, 3, "ready")


days = st.none() | st.integers(-20, 200)


@given(days, days, days, days)
def test_stages_add_up_to_all_days(begun, done, offered, promised):
    marks = [None if number is None else day(number) for number in (begun, done, offered, promised)]
    assert stage_days(Milestones(day(0), *marks), on=day(100)).total == 100
