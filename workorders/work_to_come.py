"""What open work is still to take: usual minutes less those spent, at the rate of the house."""

from collections import defaultdict
from collections.abc import Collection
from datetime import date

from django.db.models import QuerySet, Sum
from django.db.models.functions import Coalesce

from instruments.models.together import asking
from workorders.calc.money import round_half_up
from workorders.models import BenchRate, WorkItem


@asking
def labour_to_come(instrument_ids: Collection[int], *, on: date, without: QuerySet | Collection[int] = ()):
    """Minor units by instrument, of open items in orders not closed; in one query however many they are.

    An item that took its usual time already adds nothing. Without a rate for everybody nothing is reckoned.
    """
    items = (
        WorkItem.objects.open()
        .filter(order__instrument__in=instrument_ids, is_required=True)
        .exclude(order__in=without)
        .annotate(spent=Coalesce(Sum("times__minutes"), 0))
        .values_list("order__instrument", "usual_minutes", "spent")
    )
    items, rates = yield items, BenchRate.objects.filter(person__isnull=True, since__lte=on)[:1]
    rate = rates.first()
    if rate is None:
        return {}
    minutes: dict[int, int] = defaultdict(int)
    for instrument, usual, spent in items:
        minutes[instrument] += max(0, usual - spent)
    return {key: round_half_up(rate.per_hour_minor * taken / 60) for key, taken in minutes.items()}
