"""Who is at the bench and for how long, read for everybody at once."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date

from django.contrib.auth.models import User

from instruments.models.together import asking
from workorders.calc.bench_days import Away, Hours, minutes_by_day, week_words
from workorders.calc.durations import minutes_words
from workorders.models import BenchHours, DaysAway

AWAY_SHOWN = 30


@dataclass(frozen=True)
class PersonAtBench:
    """One person with the hours that hold on a day, those still to come, and days away that are not over."""

    person: User
    holding: BenchHours | None
    to_come: tuple[BenchHours, ...]
    away: tuple[DaysAway, ...]

    @property
    def week_words(self) -> str:
        return words_of(self.holding) if self.holding else "no hours written down"


def words_of(hours: BenchHours) -> str:
    return week_words(hours.week, minutes_words)


def people_at_bench(people: Collection[User], *, on: date) -> list[PersonAtBench]:
    """Each of these people, in two queries however many they are."""
    hours = _by_person(BenchHours.objects.filter(person__in=people).select_related("set_by"))
    away = _by_person(DaysAway.objects.standing().not_over(on=on).filter(person__in=people))
    return [_at_bench(person, hours.get(person.pk, []), away.get(person.pk, []), on) for person in people]


def _at_bench(person: User, hours: list[BenchHours], away: list[DaysAway], on: date) -> PersonAtBench:
    return PersonAtBench(
        person=person,
        holding=next((each for each in hours if each.since <= on), None),
        to_come=tuple(sorted((each for each in hours if each.since > on), key=lambda each: each.since)),
        away=tuple(away[:AWAY_SHOWN]),
    )


@asking
def benches(*, on: date):
    """For each person with hours written down: their minutes at the bench by day, from `on` onwards."""
    written, absences = yield (
        BenchHours.objects.filter(person__is_active=True).order_by("since", "id"),
        DaysAway.objects.standing().not_over(on=on),
    )
    hours, away = {}, {}
    for row in written:
        hours.setdefault(row.person_id, []).append(Hours(row.since, row.week))
    for row in absences:
        away.setdefault(row.person_id, []).append(Away(row.first_day, row.last_day))
    return {key: minutes_by_day(theirs, away.get(key, ())) for key, theirs in hours.items()}


def _by_person(rows) -> dict[int, list]:
    found: dict[int, list] = {}
    for row in rows:
        found.setdefault(row.person_id, []).append(row)
    return found
