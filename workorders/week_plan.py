"""The whole workshop over the next weeks: everybody's load, every order's end, what is stuck."""

from dataclasses import dataclass
from datetime import date

from django.contrib.auth.models import User
from django.db.models import F

from instruments.models.together import alongside, asked, asking
from workorders.calc.bench_days import minutes_between
from workorders.calc.durations import minutes_words
from workorders.calc.laid_hours import Bench
from workorders.calc.load import Overload, WeekLoad, overload, week_loads, weeks_from
from workorders.calc.schedule import Job
from workorders.estimates import Estimate, estimate_of
from workorders.models import WorkOrder
from workorders.planning import ShopPlan, shop_plan
from workorders.stuck import Stuck, stuck_work

WEEKS = 8
ORDERS_SHOWN = 40
STUCK_SHOWN = 40
Weeks = list[tuple[date, date]]


@dataclass(frozen=True)
class PersonLoad:
    """One person, or everybody together, by week."""

    person: User | None
    weeks: tuple[WeekLoad, ...]
    overload: Overload | None
    lacks_hours: bool = False
    items: int = 0

    @property
    def is_overloaded(self) -> bool:
        return self.overload is not None or self.lacks_hours

    @property
    def name(self) -> str:
        if self.person is None:
            return "All together"
        return self.person.get_full_name() or self.person.get_username()

    @property
    def words(self) -> str:
        """What is too much; nothing where what is wanted fits into the hours."""
        if self.lacks_hours:
            return f"{self.items} item{'s' * (self.items != 1)}, and no hours at the bench in these weeks"
        if self.overload is None:
            return ""
        over = self.overload
        wanted = f"{minutes_words(over.wanted)} wanted by {over.day:%-d %B}"
        time = f"{minutes_words(over.at_bench)} at the bench until then"
        return f"{wanted}, {time}: {minutes_words(over.too_many)} too many"


@dataclass(frozen=True)
class WeekPlan:
    on: date
    last_day: date
    people: tuple[PersonLoad, ...]
    everybody: PersonLoad
    estimates: tuple[Estimate, ...]
    stuck: tuple[Stuck, ...]
    more_orders: int
    more_stuck: int
    left_out: int

    @property
    def late(self) -> list[Estimate]:
        return [each for each in self.estimates if each.is_late]

    @property
    def overloaded(self) -> list[PersonLoad]:
        return [each for each in (*self.people, self.everybody) if each.is_overloaded]


def week_plan(*, on: date) -> WeekPlan:
    """In a fixed number of queries; orders that are wanted first stand first."""
    shop = shop_plan(on=on)
    wanted_first = (F("due_on").asc(nulls_last=True), "id")
    open_orders = WorkOrder.objects.open()
    orders = list(open_orders.select_related("instrument").order_by(*wanted_first)[:ORDERS_SHOWN])
    stuck = stuck_work(shop, orders)
    weeks = weeks_from(on, WEEKS)
    return WeekPlan(
        on=on,
        last_day=weeks[-1][1],
        people=tuple(_person_load(key, shop, weeks) for key in _by_name(shop)),
        everybody=_everybody(shop, weeks),
        estimates=tuple(estimate_of(order, shop) for order in orders),
        stuck=tuple(stuck[:STUCK_SHOWN]),
        more_orders=max(open_orders.count() - len(orders), 0),
        more_stuck=max(len(stuck) - STUCK_SHOWN, 0),
        left_out=shop.left_out,
    )


@asking
def bench_in_trouble(*, on: date):
    """Estimates that are late, and loads that are too much, of what is wanted within these weeks.

    As `week_plan` says it, without what is wanted later or by no day: that makes nothing of it later.
    """
    weeks = weeks_from(on, WEEKS)
    wanted = WorkOrder.objects.open().filter(due_on__lte=weeks[-1][1]).select_related("instrument")
    shop, orders = yield from alongside(
        shop_plan.later(on=on, wanted_until=weeks[-1][1]),
        asked.later(wanted.order_by("due_on", "id")[:ORDERS_SHOWN]),
    )
    estimates = [estimate_of(order, shop) for order in orders]
    loads = [*(_person_load(key, shop, weeks) for key in _by_name(shop)), _everybody(shop, weeks)]
    return [each for each in estimates if each.is_late], [each for each in loads if each.is_overloaded]


def _by_name(shop: ShopPlan) -> list[int]:
    return sorted(shop.people, key=lambda key: (shop.name_of(key), key))


def _person_load(key: int, shop: ShopPlan, weeks: Weeks) -> PersonLoad:
    time, own = shop.time_of(key), [job for job in _wanted_jobs(shop) if job.person == key]
    has_hours = minutes_between(time, shop.on, weeks[-1][1]) > 0
    return PersonLoad(
        person=shop.people[key],
        weeks=tuple(week_loads(_pieces(shop, {key}), time, weeks)),
        overload=_overload(own, shop, time, weeks) if has_hours else None,
        lacks_hours=bool(own) and not has_hours,
        items=len(own),
    )


def _everybody(shop: ShopPlan, weeks: Weeks) -> PersonLoad:
    """With the work that is free for anybody."""
    times = [shop.time_of(key) for key in shop.benches]

    def together(day: date) -> int:
        return sum(time(day) for time in times)

    jobs = _wanted_jobs(shop)
    return PersonLoad(
        person=None,
        weeks=tuple(week_loads(_pieces(shop, set(shop.benches)), together, weeks)),
        overload=_overload(jobs, shop, together, weeks),
        items=len(jobs),
    )


def _wanted_jobs(shop: ShopPlan) -> list[Job]:
    """Work of our own that may be begun one day; what nobody agreed to yet is no load."""
    return [job for job in shop.jobs.values() if job.minutes and not job.missing]


def _pieces(shop: ShopPlan, people: set[int]) -> list[tuple[date, int]]:
    return [
        (piece.day, piece.minutes)
        for placed in shop.plan.placed.values()
        if placed.person in people
        for piece in placed.pieces
    ]


def _overload(jobs: list[Job], shop: ShopPlan, time: Bench, weeks: Weeks) -> Overload | None:
    wanted = [(shop.wanted[job.key], job.minutes) for job in jobs]
    return overload(wanted, time, on=shop.on, until=weeks[-1][1])
