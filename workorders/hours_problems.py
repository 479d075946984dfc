"""What cannot be said of somebody's hours at the bench. The form prints it, the action refuses by it."""

from collections.abc import Sequence
from datetime import date

from instruments.problems import Blocker, Problem
from workorders.models.bench_hours import MINUTES_A_DAY

LONGEST_AWAY_DAYS = 366


def hours_problems(person, minutes: Sequence[int]) -> list[Problem]:
    problems = _not_at_the_bench(person)
    if len(minutes) != 7 or not all(0 <= each <= MINUTES_A_DAY for each in minutes):
        problems.append(Blocker("Each of the seven days has 0 to 24 hours."))
    return problems


def days_away_problems(person, first_day: date, last_day: date) -> list[Problem]:
    problems = _not_at_the_bench(person)
    if last_day < first_day:
        problems.append(Blocker("The last day away lies before the first."))
    elif (last_day - first_day).days >= LONGEST_AWAY_DAYS:
        problems.append(Blocker("At most a year at once; write a longer time down in two."))
    return problems


def _not_at_the_bench(person) -> list[Problem]:
    if person.has_perm("workorders.do_work"):
        return []
    return [Blocker(f"{person.get_full_name() or person.get_username()} does not work at the bench.")]
