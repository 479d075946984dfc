"""Time and parts at the bench, at the rate of the day."""

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from instruments.actions.whole import whole
from instruments.problems import Blocked, Blocker
from workorders.actions.stores import return_to_stock, use_from_stock
from workorders.calc.money import labour_minor
from workorders.models import BenchRate, Consumable, PartUsed, TimeSpent, WorkItem

MINUTES_A_DAY = 24 * 60


@dataclass(frozen=True)
class Use:
    """Something that went into an item: from the stores, or by name with what it cost as far as known."""

    quantity: Decimal
    consumable: Consumable | None = None
    name: str = ""
    cost_minor: int | None = None


@whole
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


@whole
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


@whole
def use_part(
    *, item: WorkItem, name: str, quantity: Decimal, by, on: date, cost_minor: int | None = None
) -> PartUsed:
    """Write down what went into an item and what all of it cost; None when nobody has said what it cost."""
    if quantity <= 0:
        raise Blocked([Blocker("Give how many or how much was used, above 0.")])
    return PartUsed.objects.create(
        item=item, name=name, quantity=quantity, cost_minor=cost_minor, used_on=on, recorded_by=by
    )


@whole
def use_parts(*, item: WorkItem, uses: Collection[Use], by, on: date) -> list[PartUsed]:
    """Write down all that went into an item at once, or nothing of it. Stores are held in one order."""
    in_order = sorted(uses, key=lambda use: use.consumable.pk if use.consumable else 0)
    return [_used(item, use, by=by, on=on) for use in in_order]


def _used(item: WorkItem, use: Use, *, by, on: date) -> PartUsed:
    if use.consumable:
        return use_from_stock(item=item, consumable=use.consumable, quantity=use.quantity, by=by, on=on)
    return use_part(item=item, name=use.name, quantity=use.quantity, cost_minor=use.cost_minor, by=by, on=on)


@whole
def take_back_part(*, entry: PartUsed, by) -> PartUsed:
    """Undo a line of parts; what came from the stores goes back at the cost it went out with."""
    entry = _still_standing(PartUsed, entry)
    taken_back = PartUsed.objects.create(
        item=entry.item,
        name=entry.name,
        quantity=-entry.quantity,
        unit=entry.unit,
        cost_minor=None if entry.cost_minor is None else -entry.cost_minor,
        used_on=entry.used_on,
        corrects=entry,
        recorded_by=by,
    )
    return_to_stock(part=entry, taken_back=taken_back, by=by)
    return taken_back


@whole
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
