"""When people are at the bench. What holds is added, never changed."""

from collections.abc import Sequence
from datetime import date

from django.db import transaction

from instruments.problems import Blocked, Blocker, refuse_if_blocked
from workorders.hours_problems import days_away_problems, hours_problems
from workorders.models import BenchHours, DaysAway, DaysAwayTakenBack
from workorders.models.bench_hours import WEEKDAYS


@transaction.atomic
def set_hours(*, person, since: date, minutes: Sequence[int], by) -> BenchHours:
    """Minutes at the bench from Monday to Sunday, from a day on. All noughts: no longer at the bench."""
    refuse_if_blocked(hours_problems(person, minutes))
    week = dict(zip(WEEKDAYS, minutes, strict=True))
    return BenchHours.objects.create(person=person, since=since, set_by=by, **week)


@transaction.atomic
def record_days_away(*, person, first_day: date, last_day: date, kind: str, by, note: str = "") -> DaysAway:
    refuse_if_blocked(days_away_problems(person, first_day, last_day))
    return DaysAway.objects.create(
        person=person, first_day=first_day, last_day=last_day, kind=kind, note=note, recorded_by=by
    )


@transaction.atomic
def take_back_days_away(*, days_away: DaysAway, by) -> DaysAwayTakenBack:
    """Those days are worked after all. A second one at the same moment waits for the row and is refused."""
    days_away = DaysAway.objects.select_for_update(of=("self",)).get(pk=days_away.pk)
    if DaysAwayTakenBack.objects.filter(days_away=days_away).exists():
        raise Blocked([Blocker("These days have been taken back already.")])
    return DaysAwayTakenBack.objects.create(days_away=days_away, recorded_by=by)
