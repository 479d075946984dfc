"""Which rate holds for each person at the bench on a day, and since when."""

from dataclasses import dataclass
from datetime import date

from workorders.forms.fields import bench_people
from workorders.models import BenchRate


@dataclass(frozen=True)
class RateNow:
    """`rate` is None where neither the person nor everybody has one yet."""

    person: object
    rate: BenchRate | None

    @property
    def is_own(self) -> bool:
        return self.rate is not None and self.rate.person_id is not None


def rates_on(day: date) -> list[RateNow]:
    """Everybody at the bench by name, each with the rate `holding_for` would put first. Two queries."""
    newest: dict[int | None, BenchRate] = {}
    for rate in BenchRate.objects.filter(since__lte=day).order_by("-since", "-id"):
        newest.setdefault(rate.person_id, rate)
    return [RateNow(person, newest.get(person.pk) or newest.get(None)) for person in bench_people()]
