"""What the bench has cost an instrument: sums of rows, never a stored total."""

from collections.abc import Collection
from dataclasses import dataclass

from django.db.models import Count, Q, QuerySet, Sum
from django.db.models.functions import Coalesce

from workorders.models import PartUsed, TimeSpent


@dataclass(frozen=True)
class BenchCost:
    """Minutes and money of one instrument, with what is missing from the money."""

    minutes: int = 0
    labour_minor: int = 0
    parts_minor: int = 0
    minutes_without_rate: int = 0
    parts_without_cost: int = 0

    @property
    def total_minor(self) -> int:
        return self.labour_minor + self.parts_minor

    @property
    def is_whole(self) -> bool:
        return not (self.minutes_without_rate or self.parts_without_cost)


def bench_cost_of(instrument, *, without: QuerySet | Collection[int] = ()) -> BenchCost:
    """`without`: keys of orders that are not the instrument's own to bear."""
    return bench_costs([instrument.pk], without=without)[instrument.pk]


def bench_costs(
    instrument_ids: Collection[int], *, without: QuerySet | Collection[int] = ()
) -> dict[int, BenchCost]:
    """The bench cost of each of these instruments, in two queries however many they are."""
    whose = "item__order__instrument"
    times = (
        TimeSpent.objects.filter(**{f"{whose}__in": instrument_ids})
        .exclude(item__order__in=without)
        .order_by()
        .values(whose)
        .annotate(
            all_minutes=Sum("minutes"),
            labour=Sum("cost_minor"),
            unpriced=Coalesce(Sum("minutes", filter=Q(per_hour_minor__isnull=True)), 0),
        )
    )
    parts = (
        PartUsed.objects.filter(**{f"{whose}__in": instrument_ids})
        .exclude(item__order__in=without)
        .order_by()
        .values(whose)
        .annotate(
            cost=Coalesce(Sum("cost_minor"), 0),
            unpriced=Count(
                "id", filter=Q(cost_minor__isnull=True, corrects__isnull=True, corrected_by__isnull=True)
            ),
        )
    )
    time_of = {row[whose]: row for row in times}
    parts_of = {row[whose]: row for row in parts}
    return {key: _cost(time_of.get(key), parts_of.get(key)) for key in instrument_ids}


def _cost(times: dict | None, parts: dict | None) -> BenchCost:
    return BenchCost(
        minutes=times["all_minutes"] if times else 0,
        labour_minor=times["labour"] if times else 0,
        parts_minor=parts["cost"] if parts else 0,
        minutes_without_rate=times["unpriced"] if times else 0,
        parts_without_cost=parts["unpriced"] if parts else 0,
    )
