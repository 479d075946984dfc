"""Items laid onto bench hours: a case worked by hand, what always holds, and what does not."""

from collections import Counter
from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from workorders.calc.bench_days import Hours, minutes_by_day
from workorders.calc.laid_hours import WHOLE_DAY, Moment
from workorders.calc.schedule import (
    Job,
    Lack,
    deciding_chain,
    lay_out,
    minutes_left,
    wanted_days,
)
from workorders.calc.sequence import working_sequence

MONDAY = date(2026, 3, 23)
A_WEEK = (240, 240, 240, 240, 120, 0, 0)


def day(number: int) -> date:
    return MONDAY + timedelta(days=number)


def bench(*week: int):
    return minutes_by_day([Hours(MONDAY, week or A_WEEK)])


def job(key, minutes=60, *, needs=(), rank=None, **more) -> Job:
    return Job(key=key, minutes=minutes, rank=(rank or 0,), needs=frozenset(needs), **more)


def test_a_week_worked_by_hand():
    """Tobias: 4 h Monday to Thursday, 2 h Friday. Ines: 2 h on Tuesday and Thursday.

    Lubricate (3 h, Tobias) fills Monday to 180. Polishing is promised for Tuesday. Voice (90 min, Ines) needs
    Lubricate, so Tuesday 0 to 90. Refit (3 h, Tobias) needs Voice and the polishing: Wednesday 0 to 180. Tune
    (5 h, Tobias) needs only Lubricate but comes after by rank: the rest of Monday (60), all Tuesday (240).
    """
    benches = {"tobias": bench(), "ines": bench(0, 120, 0, 120, 0, 0, 0)}
    jobs = [
        job("lubricate", 180, person="tobias", rank=1),
        job("polishing", 0, not_before=day(1), rank=2),
        job("voice", 90, person="ines", needs=["lubricate"], rank=3),
        job("refit", 180, person="tobias", needs=["voice", "polishing"], rank=4),
        job("tune", 300, person="tobias", needs=["lubricate"], rank=5),
    ]
    plan = lay_out(jobs, benches, on=MONDAY)
    assert [(each, plan.placed[each].starts, plan.placed[each].ends) for each in ("voice", "refit")] == [
        ("voice", Moment(day(1), 0), Moment(day(1), 90)),
        ("refit", Moment(day(2), 0), Moment(day(2), 180)),
    ]
    assert [tuple(piece) for piece in plan.placed["tune"].pieces] == [(day(0), 180, 60), (day(1), 0, 240)]
    assert plan.finish_of(job.key for job in jobs) == Moment(day(2), 180)
    assert [each.key for each in deciding_chain(plan, ["refit", "tune"])] == ["polishing", "refit"]


def test_a_person_with_other_work_first_stands_in_the_chain():
    jobs = [
        job("theirs", 480, person="tobias", rank=1),
        job("ours", 60, person="tobias", rank=2),
    ]
    plan = lay_out(jobs, {"tobias": bench()}, on=MONDAY)
    assert plan.placed["ours"].starts == Moment(day(2), 0)
    assert [each.key for each in deciding_chain(plan, ["ours"])] == ["theirs", "ours"]


def test_what_a_need_waits_for_stands_in_the_chain_across_days_without_hours():
    jobs = [job("first", 120, person="tobias"), job("then", 30, person="ines", needs=["first"])]
    plan = lay_out(jobs, {"tobias": bench(), "ines": bench(0, 0, 0, 60, 0, 0, 0)}, on=MONDAY)
    assert plan.placed["then"].starts == Moment(day(3), 0)
    assert [each.key for each in deciding_chain(plan, ["then"])] == ["first", "then"]


def test_work_free_for_anybody_goes_to_whoever_ends_it_first():
    benches = {"tobias": bench(60, 60, 60, 60, 60, 0, 0), "ines": bench(0, 240, 0, 0, 0, 0, 0)}
    plan = lay_out([job("any", 180)], benches, on=MONDAY)
    assert (plan.placed["any"].person, plan.placed["any"].ends) == ("ines", Moment(day(1), 180))


def test_minutes_already_worked_today_are_gone():
    plan = lay_out([job("a", 60, person="tobias")], {"tobias": bench()}, on=MONDAY, used={"tobias": 200})
    assert [tuple(piece) for piece in plan.placed["a"].pieces] == [(day(0), 200, 40), (day(1), 0, 20)]


@pytest.mark.parametrize(
    ("jobs", "lack", "root"),
    [
        ([job("a", person="ines"), job("b", person="tobias", needs=["a"])], Lack.NO_HOURS, "a"),
        ([job("a", missing="No day is promised."), job("b", needs=["a"])], Lack.STATED, "a"),
        ([job("b", 500_000, person="tobias")], Lack.TOO_FAR, "b"),
    ],
)
def test_without_hours_or_a_promise_there_is_no_date(jobs, lack, root):
    plan = lay_out(jobs, {"tobias": bench(), "ines": bench(*[0] * 7)}, on=MONDAY)
    assert plan.finish_of(["b"]) is None and deciding_chain(plan, ["b"]) == []
    assert [(each.key, each.lack) for each in plan.lacks_of(["b"])] == [(root, lack)]


def test_with_nobody_at_the_bench_nothing_has_a_day():
    assert lay_out([job("a")], {}, on=MONDAY).not_placed["a"].lack is Lack.NOBODY


def test_something_is_left_of_an_open_item_whatever_was_spent():
    assert [minutes_left(120, 30), minutes_left(60, 200), minutes_left(60, -5)] == [90, 15, 60]


def test_what_is_needed_is_wanted_as_early_as_what_needs_it():
    due = {"own": None, "shared": day(30), "late": day(9)}
    wanted = wanted_days({"late": ["shared"], "shared": ["own"]}, due)
    assert wanted == {"own": day(9), "shared": day(9), "late": day(9)}


def test_a_longer_item_may_let_another_of_lower_rank_end_earlier():
    """Graham's anomaly, made plain: a slips, so b leaves Ines free, and c slips into the gap."""

    def finish(minutes: int) -> Moment:
        jobs = [
            job("a", minutes, person="tobias", rank=1),
            job("b", 120, person="ines", needs=["a"], rank=2),
            job("c", 120, person="ines", rank=3),
        ]
        return lay_out(jobs, {"tobias": bench(), "ines": bench()}, on=MONDAY).placed["c"].ends

    assert (finish(1), finish(120)) == (Moment(day(0), 240), Moment(day(0), 120))


# What always holds, and the same plan laid minute by minute.

WEEKS = {"p": (40, 0, 25, 10, 0, 0, 5), "q": (0, 30, 30, 0, 15, 0, 0)}
BENCHES = {person: bench(*week) for person, week in WEEKS.items()}


def some_before(number: int):
    return st.frozensets(st.integers(0, number - 1), max_size=2)


@st.composite
def workloads(draw, people=("p", "q", None)):
    jobs = []
    for number in range(draw(st.integers(1, 9))):
        is_outside = draw(st.integers(0, 5)) == 0
        jobs.append(
            Job(
                key=number,
                minutes=0 if is_outside else draw(st.integers(1, 90)),
                rank=(draw(st.integers(0, 3)),),
                person=draw(st.sampled_from(people)),
                needs=draw(some_before(number)) if number and not is_outside else frozenset(),
                not_before=day(draw(st.integers(0, 12))) if is_outside else None,
            )
        )
    return jobs


def minute_by_minute(jobs: list[Job]) -> dict:
    """The oracle: every minute of every day is looked at by itself."""
    by_key, free, ends = {job.key: job for job in jobs}, {}, {}
    for person, minutes_on in BENCHES.items():
        free[person] = [(day(number), m) for number in range(400) for m in range(minutes_on(day(number)))]
    ranks = {job.key: (job.rank, repr(job.key)) for job in jobs}
    for key in working_sequence({job.key: job.needs for job in jobs}, ranks):
        each = by_key[key]
        ready = max([(each.not_before or MONDAY, 0), *(ends[need] for need in each.needs)])
        if not each.minutes:
            ends[key] = (ready[0], WHOLE_DAY)
            continue
        ways = []
        for place, person in enumerate([each.person] if each.person else BENCHES):
            minutes = [minute for minute in free[person] if minute >= ready][: each.minutes]
            ways.append((minutes[-1], place, person, minutes))
        (last_day, last_minute), _, person, minutes = min(ways)
        free[person] = [minute for minute in free[person] if minute not in set(minutes)]
        ends[key] = (last_day, last_minute + 1)
    return ends


@settings(max_examples=25)
@given(workloads())
def test_the_plan_is_the_one_laid_minute_by_minute(jobs):
    plan = lay_out(jobs, BENCHES, on=MONDAY)
    assert {key: tuple(each.ends) for key, each in plan.placed.items()} == minute_by_minute(jobs)


@given(workloads())
def test_nothing_starts_before_what_it_needs_and_nobody_works_beyond_their_hours(jobs):
    plan = lay_out(jobs, BENCHES, on=MONDAY)
    worked = Counter()
    for each in jobs:
        placed = plan.placed[each.key]
        assert all(plan.placed[need].ends <= placed.starts for need in each.needs)
        assert sum(piece.minutes for piece in placed.pieces) == each.minutes
        for piece in placed.pieces:
            worked.update((placed.person, piece.day, minute) for minute in range(*_span(piece)))
    assert all(count == 1 for count in worked.values())
    assert all(minute < BENCHES[person](on) for person, on, minute in worked)


def _span(piece) -> tuple[int, int]:
    return piece.first_minute, piece.ends.minute


@given(workloads())
def test_the_chain_runs_without_a_gap_to_the_finish(jobs):
    plan = lay_out(jobs, BENCHES, on=MONDAY)
    keys = [each.key for each in jobs]
    chain = deciding_chain(plan, keys)
    assert chain[-1].ends == plan.finish_of(keys)
    assert chain[0].decided_by is None
    for before, after in pairwise(chain):
        assert before.ends <= after.starts
        if after.person is not None:
            assert free_minutes(plan, after.person, max(before.ends, after.ready), after.starts) == 0


def free_minutes(plan, person, first: Moment, end: Moment) -> int:
    busy = {
        (piece.day, minute)
        for placed in plan.placed.values()
        if placed.person == person
        for piece in placed.pieces
        for minute in range(*_span(piece))
    }
    days = range((end.day - first.day).days + 1)
    minutes = [
        (on, m)
        for number in days
        if (on := first.day + timedelta(days=number))
        for m in range(BENCHES[person](on))
    ]
    return sum(first <= minute < end and minute not in busy for minute in minutes)


@given(workloads(), st.data())
def test_more_minutes_never_end_the_item_itself_earlier(jobs, data):
    grown, more = _grown(jobs, data)
    before, after = lay_out(jobs, BENCHES, on=MONDAY), lay_out(grown, BENCHES, on=MONDAY)
    assert after.placed[more].ends >= before.placed[more].ends


@given(workloads(people=("p",)), st.data())
def test_with_one_person_more_minutes_end_nothing_earlier(jobs, data):
    grown, _ = _grown(jobs, data)
    before, after = lay_out(jobs, BENCHES, on=MONDAY), lay_out(grown, BENCHES, on=MONDAY)
    assert all(after.placed[each.key].ends >= before.placed[each.key].ends for each in jobs)


def _grown(jobs: list[Job], data) -> tuple[list[Job], int]:
    chosen = data.draw(st.sampled_from(jobs))
    more = chosen.minutes + data.draw(st.integers(1, 60)) if chosen.minutes else 0
    return [
        Job(each.key, more, each.rank, each.person, each.needs, each.not_before) if each is chosen else each
        for each in jobs
    ], chosen.key
