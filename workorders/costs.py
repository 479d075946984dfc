"""What the bench has cost an instrument: sums of rows, never a stored total."""

from collections.abc import Collection
from dataclasses import dataclass

from django.db.models import Case, Count, Exists, F, OuterRef, Q, QuerySet, Subquery, Sum, Value, When
from django.db.models.functions import Coalesce

from instruments.models.together import asking
from workorders.models import OutsideBill, OutsideJob, PartUsed, TimeSpent
from workorders.store_states import OutsideState


@dataclass(frozen=True)
class BenchCost:
    """Minutes and money of one instrument, with what is missing from the money."""

    minutes: int = 0
    labour_minor: int = 0
    parts_minor: int = 0
    minutes_without_rate: int = 0
    parts_without_cost: int = 0
    outside_minor: int = 0
    outside_to_come_minor: int = 0

    @property
    def total_minor(self) -> int:
        """What it has cost so far; what work outside is still to cost is told beside it."""
        return self.labour_minor + self.parts_minor + self.outside_minor

    @property
    def is_whole(self) -> bool:
        return not (self.minutes_without_rate or self.parts_without_cost)


@asking
def bench_cost_of(instrument, *, without: QuerySet | Collection[int] = ()):
    """As `BenchCost`. `without`: keys of orders that are not the instrument's own to bear."""
    return (yield from bench_costs.later([instrument.pk], without=without))[instrument.pk]


@asking
def bench_costs(
    instrument_ids: Collection[int],
    *,
    without: QuerySet | Collection[int] = (),
    only: QuerySet | None = None,
):
    """`BenchCost` by the key of each of these instruments, in one query however many they are.

    `without` and `only`: keys of orders that are left out, or that alone are counted.
    """
    whose = "item__order__instrument"
    counted = {} if only is None else {"item__order__in": only}
    times = (
        TimeSpent.objects.filter(**{f"{whose}__in": instrument_ids}, **counted)
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
        PartUsed.objects.filter(**{f"{whose}__in": instrument_ids}, **counted)
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
    jobs = outside_jobs_costed().filter(order__instrument__in=instrument_ids).exclude(order__in=without)
    if only is not None:
        jobs = jobs.filter(order__in=only)
    outside: dict[int, list[tuple[int, int]]] = {}
    jobs = jobs.values_list("order__instrument", "billed_minor", "to_come_minor")
    times, parts, jobs = yield times, parts, jobs
    for whose_job, billed, to_come in jobs:
        outside.setdefault(whose_job, []).append((billed, to_come))
    time_of = {row[whose]: row for row in times}
    parts_of = {row[whose]: row for row in parts}
    return {key: _cost(time_of.get(key), parts_of.get(key), outside.get(key, [])) for key in instrument_ids}


def outside_jobs_costed():
    """Work outside, each job with what was billed for it and what is still to come by the price agreed.

    Nothing is to come once a bill says that it is the last, or the job is cancelled.
    """
    bills = OutsideBill.objects.filter(job=OuterRef("pk")).order_by()
    last = bills.filter(is_last=True, corrects__isnull=True, corrected_by__isnull=True)
    return OutsideJob.objects.annotate(
        billed_minor=Coalesce(
            Subquery(bills.values("job").annotate(sum=Sum("amount_minor")).values("sum")), 0
        ),
        agreed_or_nothing=Coalesce("agreed_minor", 0),
    ).annotate(
        to_come_minor=Case(
            When(Q(state=OutsideState.CANCELLED) | Exists(last), then=Value(0)),
            When(agreed_or_nothing__gt=F("billed_minor"), then=F("agreed_or_nothing") - F("billed_minor")),
            default=Value(0),
        )
    )


def _cost(times: dict | None, parts: dict | None, outside: list[tuple[int, int]]) -> BenchCost:
    return BenchCost(
        minutes=times["all_minutes"] if times else 0,
        labour_minor=times["labour"] if times else 0,
        parts_minor=parts["cost"] if parts else 0,
        minutes_without_rate=times["unpriced"] if times else 0,
        parts_without_cost=parts["unpriced"] if parts else 0,
        outside_minor=sum(billed for billed, _ in outside),
        outside_to_come_minor=sum(to_come for _, to_come in outside),
    )
