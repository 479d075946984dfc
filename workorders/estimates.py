"""When an order will be finished, and in words what decides the day."""

from dataclasses import dataclass
from datetime import date

from workorders.calc.durations import minutes_words
from workorders.calc.schedule import Lack, NotPlaced, Placed, deciding_chain
from workorders.models import WorkOrder
from workorders.planning import Key, ShopPlan

LINKS_SHOWN = 10


@dataclass(frozen=True)
class Link:
    """One step of the chain: what it is, whose it is, from when to when, and why not sooner."""

    name: str
    url: str
    elsewhere: str
    who: str
    starts_on: date
    ends_on: date
    minutes: int
    why: str
    is_outside: bool = False


@dataclass(frozen=True)
class Estimate:
    """The day all required work of an order is done; without one, what is missing to tell it."""

    order: WorkOrder
    on: date
    finish_on: date | None = None
    lacks: tuple[str, ...] = ()
    links: tuple[Link, ...] = ()
    begins: Link | None = None
    links_before: int = 0
    shortage: str = ""
    has_work: bool = True

    @property
    def days_late(self) -> int:
        """Days after the one it is wanted on; below 0 before it; 0 without either."""
        if self.finish_on is None or self.order.due_on is None:
            return 0
        return (self.finish_on - self.order.due_on).days

    @property
    def begins_with(self) -> str:
        """The head of the chain in a few words: "“Refit” after “Voice”, then 3 more steps"."""
        if self.begins is None:
            return ""
        more = self.links_before + len(self.links) - 1
        then = f", then {more} more step{'s' * (more != 1)}" if more else ""
        return f"“{self.begins.name}”, {self.begins.who}: {self.begins.why}{then}"

    @property
    def is_late(self) -> bool:
        return self.days_late > 0

    @property
    def against_due(self) -> str:
        """ "3 days after it is wanted"; nothing where nobody said when it is wanted."""
        if self.finish_on is None or self.order.due_on is None:
            return ""
        late = self.days_late
        if not late:
            return "on the day it is wanted"
        days = f"{abs(late)} day{'s' * (abs(late) != 1)}"
        return f"{days} {'after' if late > 0 else 'before'} it is wanted"


def estimate_of(order: WorkOrder, shop: ShopPlan) -> Estimate:
    keys = shop.required_of(order)
    if not keys:
        return Estimate(order, shop.on, has_work=False)
    finish = shop.plan.finish_of(keys)
    if finish is None:
        lacks = tuple(dict.fromkeys(_lack_words(each, shop) for each in shop.plan.lacks_of(keys)))
        return Estimate(order, shop.on, lacks=lacks)
    chain = deciding_chain(shop.plan, keys)
    shown = chain[-LINKS_SHOWN:]
    return Estimate(
        order=order,
        on=shop.on,
        finish_on=finish.day,
        links=tuple(_link(each, order, shop) for each in shown),
        begins=_link(chain[0], order, shop),
        links_before=len(chain) - len(shown),
        shortage=_shortage_words(chain, shop),
    )


def _shortage_words(chain: list[Placed], shop: ShopPlan) -> str:
    """Whose time decides the day, where more than half of the chain is one person's."""
    minutes: dict[int, int] = {}
    for placed in chain:
        if placed.person is not None:
            minutes[placed.person] = minutes.get(placed.person, 0) + shop.jobs[placed.key].minutes
    whose = max(minutes, key=lambda key: minutes[key], default=None)
    if whose is None or len(chain) == 1 or 2 * minutes[whose] <= sum(minutes.values()):
        return ""
    name, whole = shop.name_of(whose), sum(minutes.values())
    if minutes[whose] == whole:
        return f"All {minutes_words(whole)} of it are {name}'s time."
    return f"{minutes_words(minutes[whose])} of its {minutes_words(whole)} are {name}'s time."


def _link(placed: Placed, order: WorkOrder, shop: ShopPlan) -> Link:
    kind, key = placed.key
    thing = shop.items[key] if kind == "item" else shop.outside[key]
    elsewhere = ""
    if thing.order_id != order.pk:
        elsewhere = f"{thing.order.instrument.stock_number}, {thing.order.number}"
    return Link(
        name=_name(placed.key, shop),
        url=thing.get_absolute_url(),
        elsewhere=elsewhere,
        who=shop.name_of(placed.person) if placed.person else str(thing.outworker),
        starts_on=placed.starts.day,
        ends_on=placed.ends.day,
        minutes=shop.jobs[placed.key].minutes,
        why=_why(placed, order, shop),
        is_outside=kind == "outside",
    )


def _why(placed: Placed, order: WorkOrder, shop: ShopPlan) -> str:
    """Why it does not lie sooner."""
    if placed.key[0] == "outside":
        return _outside_words(shop.outside[placed.key[1]], shop.on)
    who = shop.name_of(placed.person)
    words = []
    if placed.held_by is not None:
        words.append(f"{who} has {_named(placed.held_by, order, shop)} first")
    else:
        if placed.need is not None:
            words.append(f"after {_named(placed.need, order, shop)}")
        days_idle = (placed.starts.day - placed.ready.day).days
        if days_idle > (placed.need is not None):  # the morning after is no waiting
            words.append(f"{who} is next at the bench on {placed.starts.day:%A %-d %B}")
    said = "; ".join(words) or "can be started now"
    if placed.between:
        named = [_named(key, order, shop) for key in placed.between[:2]]
        more = len(placed.between) - len(named)
        said += f"; {' and '.join(named)}{f' and {more} more' if more else ''} in between"
    return said


def _outside_words(job, on: date) -> str:
    promised = f"promised for {job.promised_on:%-d %B}"
    late = (on - job.promised_on).days
    if late <= 0:
        return promised
    return f"{promised}, {late} day{'s' * (late != 1)} overdue: counted as back today at the earliest"


def _name(key: Key, shop: ShopPlan) -> str:
    kind, number = key
    return shop.items[number].name if kind == "item" else str(shop.outside[number].get_kind_display())


def _named(key: Key, order: WorkOrder, shop: ShopPlan) -> str:
    kind, number = key
    thing = shop.items[number] if kind == "item" else shop.outside[number]
    where = "" if thing.order_id == order.pk else f" ({thing.order.instrument.stock_number})"
    return f"“{_name(key, shop)}”{where}"


def _lack_words(lack: NotPlaced, shop: ShopPlan) -> str:
    if lack.lack is Lack.STATED:
        return lack.words
    name, minutes = _name(lack.key, shop), minutes_words(shop.jobs[lack.key].minutes)
    if lack.lack is Lack.NOBODY:
        return f"Nobody has hours at the bench, and “{name}” takes {minutes}. Write somebody's hours down."
    who = shop.name_of(lack.person) if lack.person else "everybody"
    if lack.lack is Lack.NO_HOURS:
        return (
            f"“{name}” is with {who}, who has no hours at the bench. "
            "Write the hours down, or give it to somebody else."
        )
    return f"“{name}” takes {minutes}, and the hours of {who} for the next two years are full."
