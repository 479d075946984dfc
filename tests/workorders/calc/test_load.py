from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from workorders.calc.bench_days import Hours, minutes_between, minutes_by_day
from workorders.calc.load import Overload, overload, week_loads, weeks_from
from workorders.calc.schedule import Job, lay_out

MONDAY = date(2026, 3, 23)
TIME = minutes_by_day([Hours(MONDAY, (120, 120, 0, 120, 60, 0, 0))])
UNTIL = MONDAY + timedelta(days=55)


def day(number: int) -> date:
    return MONDAY + timedelta(days=number)


def test_the_first_week_is_what_is_left_of_this_one():
    weeks = weeks_from(day(2), 3)
    assert weeks == [(day(2), day(6)), (day(7), day(13)), (day(14), day(20))]


def test_planned_minutes_stand_against_the_hours_of_their_week():
    loads = week_loads([(day(3), 90), (day(4), 60), (day(7), 30)], TIME, weeks_from(day(2), 2))
    assert [(each.at_bench, each.planned, each.free) for each in loads] == [(180, 150, 30), (420, 30, 390)]


def test_too_much_by_one_day_is_named_with_that_day():
    """By hand: 120 + 120 minutes until Tuesday; 200 and 100 are wanted by then."""
    found = overload([(day(1), 200), (day(1), 100), (day(20), 60)], TIME, on=MONDAY, until=UNTIL)
    assert found == Overload(day(1), 300, 240) and found.too_many == 60


def test_what_was_wanted_before_today_is_wanted_today():
    assert overload([(day(-9), 130)], TIME, on=MONDAY, until=UNTIL) == Overload(MONDAY, 130, 120)


def test_what_fits_and_what_nobody_wants_by_a_day_are_no_overload():
    assert overload([(day(1), 240), (date.max, 99_000)], TIME, on=MONDAY, until=UNTIL) is None


@given(st.lists(st.tuples(st.integers(0, 30), st.integers(1, 200)), min_size=1, max_size=8))
def test_an_overload_is_exactly_when_somebody_working_by_due_date_is_late(wanted):
    """Earliest due date first is late only when every order of work is (Jackson 1955, named from memory)."""
    due = {key: day(number) for key, (number, _) in enumerate(wanted)}
    jobs = [Job(key, minutes, (due[key], key), "p") for key, (_, minutes) in enumerate(wanted)]
    plan = lay_out(jobs, {"p": TIME}, on=MONDAY)
    is_late = any(plan.placed[key].ends.day > due[key] for key in due)
    found = overload([(due[job.key], job.minutes) for job in jobs], TIME, on=MONDAY, until=UNTIL)
    assert (found is not None) == is_late
    if found:
        assert found.at_bench == minutes_between(TIME, MONDAY, found.day)
