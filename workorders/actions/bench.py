"""Time and parts at the bench, at the rate of the day."""

from datetime import date
from decimal import Decimal

from django.db import transaction

from instruments.problems import Blocked, Blocker
from workorders.calc.money import labour_minor
from workorders.models import BenchRate, PartUsed, TimeSpent, WorkItem

MINUTES_A_DAY = 24 * 60


@transaction.atomic
def log_time(*, item: WorkItem, person, minutes: int, by, on: date, note: str = "") -> TimeSpent:
    """Write down minutes at the rate that holds for the person that day; without a rate they cost 0."""
    if not 0 < minutes <= MINUTES_A_DAY:
        raise Blocked([Blocker("A day at the bench has 1 to 1,440 minutes.")])
    rate = rate_of(person, on=on)
    return TimeSpent.objects.create(
        item=item,
        person=person,
        minutes=minutes,
        per_hour_minor=rate,
        cost_minor=0 if rate is None else labour_minor(minutes, rate),
        worked_on=on,
        note=note,
        recorded_by=by,
    )


@transaction.atomic
def take_back_time(*, entry: TimeSpent, note: str = "", by) -> TimeSpent:
    """Undo a line of time to the penny, whatever rates have come since. Both lines stay."""
    entry = _still_standing(TimeSpent, entry)
    return TimeSpent.objects.create(
        item=entry.item,
        person=entry.person,
        minutes=-entry.minutes,
        per_hour_minor=entry.per_hour_minor,
        cost_minor=-entry.cost_minor,
        worked_on=entry.worked_on,
        note=note,
        corrects=entry,
        recorded_by=by,
    )


@transaction.atomic
def use_part(
    *, item: WorkItem, name: str, quantity: Decimal, by, on: date, cost_minor: int | None = None
) -> PartUsed:
    """Write down what went into an item and what all of it cost; None when nobody has said what it cost."""
    if quantity <= 0:
        raise Blocked([Blocker("Give how many or how much was used, above 0.")])
    return PartUsed.objects.create(
        item=item, name=name, quantity=quantity, cost_minor=cost_minor, used_on=on, recorded_by=by
    )


@transaction.atomic
def take_back_part(*, entry: PartUsed, by) -> PartUsed:
    entry = _still_standing(PartUsed, entry)
    return PartUsed.objects.create(
        item=entry.item,
        name=entry.name,
        quantity=-entry.quantity,
        cost_minor=None if entry.cost_minor is None else -entry.cost_minor,
        used_on=entry.used_on,
        corrects=entry,
        recorded_by=by,
    )


@transaction.atomic
def set_rate(*, per_hour_minor: int, since: date, by, person=None) -> BenchRate:
    """What an hour costs from a day on, for one person or everybody. Time written down keeps its cost."""
    return BenchRate.objects.create(person=person, per_hour_minor=per_hour_minor, since=since, set_by=by)


def rate_of(person, *, on: date) -> int | None:
    """Minor units an hour: the person's own newest rate on that day, else everybody's, else None."""
    rate = BenchRate.objects.holding_for(person, on=on).first()
    return rate.per_hour_minor if rate else None


def _still_standing(model, entry):
    """The line, if nothing has taken it back yet; a second one at the same moment waits here."""
    entry = model.objects.select_related("item").select_for_update(of=("self",)).get(pk=entry.pk)
    if entry.corrects_id or model.objects.filter(corrects=entry).exists():
        raise Blocked([Blocker("This line has been taken back already.")])
    return entry
