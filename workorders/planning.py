"""All open work of the shop laid onto people's hours: read in a fixed number of queries, then computed."""

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from django.contrib.auth.models import User
from django.db.models import F, Max, Q, QuerySet, Sum

from instruments.models.together import alongside, asked, asking
from workorders.bench_hours import benches
from workorders.calc.laid_hours import Bench
from workorders.calc.schedule import Job, Plan, lay_out, minutes_left, wanted_days
from workorders.calc.sequence import circle_in
from workorders.gates import wanting_before
from workorders.models import GateWaiver, OutsideJob, TimeSpent, WorkItem, WorkOrder
from workorders.order_rules import waiting_words
from workorders.states import Concern, ItemState, OrderState, Stood
from workorders.store_states import Goes

MOST_ITEMS = 1500
Key = tuple[str, int]


@dataclass(frozen=True)
class Spent:
    """What was given to an item so far, and when last."""

    minutes: int = 0
    last_on: date | None = None


@dataclass(frozen=True)
class ShopPlan:
    """Open items and work outside, with a day for each where one can be told."""

    on: date
    items: dict[int, WorkItem]
    outside: dict[int, OutsideJob]
    needs: dict[Key, frozenset]
    spent: dict[int, Spent]
    wanted: dict[Key, date]
    jobs: dict[Key, Job]
    held: dict[int, tuple[str, ...]]
    benches: dict[int, Bench]
    used: dict[int, int]
    people: dict[int, User]
    plan: Plan
    left_out: int

    def required_of(self, order: WorkOrder) -> list[Key]:
        """What has to be done before the order is ready: its required items and its work outside."""
        items = [
            item_key(each) for each in self.items.values() if each.order_id == order.pk and each.is_required
        ]
        outside = [outside_key(each) for each in self.outside.values() if each.order_id == order.pk]
        return [*items, *outside]

    def time_of(self, person_id: int) -> Bench:
        """Somebody's minutes at the bench by day, less what is gone of today."""
        minutes_on, gone = self.benches.get(person_id), self.used.get(person_id, 0)
        if minutes_on is None:
            return lambda day: 0
        return lambda day: max(minutes_on(day) - (gone if day == self.on else 0), 0)

    def name_of(self, person_id: int) -> str:
        person = self.people[person_id]
        return person.get_full_name() or person.get_username()


def item_key(item: WorkItem) -> Key:
    return ("item", item.pk)


def outside_key(job: OutsideJob) -> Key:
    return ("outside", job.pk)


@asking
def shop_plan(*, on: date, wanted_until: date | None = None):
    """As `ShopPlan`, as of a day. Of more than 1,500 open items those wanted last are left out, and counted.

    With `wanted_until` only of what is wanted by then, with all that it may wait for: what nobody waits for
    comes after it and moves nothing of it.
    """
    rows, jobs, named, pairs, used, hours, people = yield from alongside(
        asked.later(_open_items(wanted_until)),
        asked.later(_jobs_outside().select_related("order__instrument", "outworker")),
        asked.later(_named_by(_jobs_outside())),
        asked.later(_pairs()),
        asked.later(_used(on)),
        benches.later(on=on),
        asked.later(User.objects.filter(bench_hours__isnull=False).distinct()),
    )
    items, outside = {item.pk: item for item in rows}, {job.pk: job for job in jobs}
    waived, spent, held, wanting = yield from alongside(
        asked.later(_passed_over(items)),
        asked.later(_spent(items)),
        waiting_words.later({item.order for item in items.values()}),
        wanting_before.later(items.values()),
    )
    spent = {row["item"]: Spent(row["sum"], row["last"]) for row in spent}
    needs = _needs(items, outside, pairs, named, waived)
    due = {item_key(item): item.order.due_on for item in items.values()}
    due |= {outside_key(job): job.order.due_on for job in outside.values()}
    wanted = wanted_days(needs, due)
    jobs = {
        job.key: job
        for job in [
            *_own_jobs(items, needs, wanted, spent, held, wanting),
            *(_outside_job(job, wanted, on) for job in outside.values()),
        ]
    }
    used = {row["person"]: max(row["sum"], 0) for row in used}
    return ShopPlan(
        on=on,
        items=items,
        outside=outside,
        needs=needs,
        spent=spent,
        wanted=wanted,
        jobs=jobs,
        held=held,
        benches=hours,
        used=used,
        people=_people(hours, people, items),
        plan=lay_out(jobs.values(), hours, on=on, used=used),
        left_out=WorkItem.objects.open().count() - len(items) if len(items) == MOST_ITEMS else 0,
    )


def _open_items(wanted_until: date | None) -> QuerySet[WorkItem]:
    wanted_first = (F("order__due_on").asc(nulls_last=True), "order_id", "rank", "id")
    rows = WorkItem.objects.open().select_related("order__instrument", "assigned_to").order_by(*wanted_first)
    if wanted_until is None:
        return rows[:MOST_ITEMS]
    wanted = WorkOrder.objects.open().filter(due_on__lte=wanted_until).order_by()
    beside = WorkOrder.objects.filter(instrument__in=wanted.values("instrument")).order_by()
    return rows.filter(Q(order__in=beside.values("pk")) | Q(pk__in=_needed_by(wanted)))[:MOST_ITEMS]


def _needed_by(orders: QuerySet[WorkOrder]) -> QuerySet:
    needs = WorkItem.needs.through.objects.filter(from_workitem__order__in=orders.values("pk"))
    return needs.values("to_workitem")


def _jobs_outside() -> QuerySet[OutsideJob]:
    return OutsideJob.objects.open().filter(order__state=OrderState.OPEN)


def _named_by(jobs: QuerySet[OutsideJob]) -> QuerySet:
    """Pairs of a job and an item that it names."""
    through = OutsideJob.items.through.objects.filter(outsidejob__in=jobs.order_by().values("pk"))
    return through.values_list("outsidejob_id", "workitem_id")


def _pairs() -> QuerySet:
    """An item that waits and the one that it waits for, both open."""
    pairs = WorkItem.needs.through.objects.filter(
        from_workitem__state=ItemState.OPEN, to_workitem__state=ItemState.OPEN
    )
    return pairs.values_list("from_workitem_id", "to_workitem_id")


def _passed_over(items: Collection[int]) -> QuerySet:
    return GateWaiver.objects.filter(item__in=items, stood=Stood.OPEN).values_list("item", "gate")


def _needs(items: dict[int, WorkItem], outside: dict[int, OutsideJob], pairs, named, waived) -> dict:
    found: dict[Key, set[Key]] = {("item", key): set() for key in items}
    for waiting, first in pairs:
        if waiting in items and first in items:
            found["item", waiting].add(("item", first))
    for job in outside.values():
        its_own = {item for of, item in named if of == job.pk}
        for item in items.values():
            if _waits_for_outside(item, job, its_own):
                found[item_key(item)].add(outside_key(job))
    _put_structure_first(items, found, set(waived))
    return {key: frozenset(needs) for key, needs in found.items()}


def _waits_for_outside(item: WorkItem, job: OutsideJob, named: set[int]) -> bool:
    """What a job names waits for it; an instrument or order that is out of the house waits whole."""
    if job.is_away and job.goes == Goes.WHOLE:
        return item.order.instrument_id == job.order.instrument_id
    return item.pk in named or (not named and job.is_away and item.order_id == job.order_id)


def _put_structure_first(items: dict[int, WorkItem], needs: dict[Key, set[Key]], passed_over: set) -> None:
    """Work on looks waits for the open structure of its instrument, but for what the owner passed over."""
    structure: dict[int, set[int]] = {}
    for item in items.values():
        if item.concern == Concern.STRUCTURE:
            structure.setdefault(item.order.instrument_id, set()).add(item.pk)
    for item in items.values():
        if item.concern == Concern.LOOKS:
            first = structure.get(item.order.instrument_id, ())
            gates = {("item", gate) for gate in first if (item.pk, gate) not in passed_over}
            trial = needs | {item_key(item): needs[item_key(item)] | gates}
            if not circle_in(trial):  # structure that was made to wait for looks is nobody's plan
                needs[item_key(item)] |= gates


def _own_jobs(items, needs, wanted, spent, held, wanting) -> Iterator[Job]:
    for key, item in items.items():
        waits = " and ".join(held.get(item.order_id, ()))
        missing = f"{item.order.number} waits for {waits}." if waits else ""
        if not missing and (gate := wanting.get(key)):
            missing = f"“{item.name}” waits: {gate.words}. Prove it first, or ask the owner."
        yield Job(
            key=item_key(item),
            minutes=minutes_left(item.usual_minutes, spent.get(key, Spent()).minutes),
            rank=(wanted[item_key(item)], item.order_id, item.rank, item.pk),
            person=item.assigned_to_id,
            needs=needs[item_key(item)],
            missing=missing,
        )


def _outside_job(job: OutsideJob, wanted: dict[Key, date], on: date) -> Job:
    key = outside_key(job)
    nothing_said = "" if job.promised_on else f"No day is promised for {job}: ask for one, and write it down."
    return Job(
        key=key,
        minutes=0,
        rank=(wanted[key], job.order_id, 0, job.pk),
        not_before=max(job.promised_on, on) if job.promised_on else None,
        missing=nothing_said,
    )


def _spent(items: Collection[int]) -> QuerySet:
    rows = TimeSpent.objects.filter(item__in=items).order_by().values("item")
    return rows.annotate(sum=Sum("minutes"), last=Max("worked_on"))


def _used(on: date) -> QuerySet:
    """Minutes of today that are gone already."""
    return TimeSpent.objects.filter(worked_on=on).order_by().values("person").annotate(sum=Sum("minutes"))


def _people(hours: dict[int, Bench], people: Iterable[User], items: dict[int, WorkItem]) -> dict[int, User]:
    """Who has work of theirs among it, or hours at the bench."""
    known = {item.assigned_to_id: item.assigned_to for item in items.values() if item.assigned_to}
    return {person.pk: person for person in people if person.pk in hours} | known
