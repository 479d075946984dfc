"""An order as numbered steps: which are done, which can be started, and what the others wait for."""

from collections.abc import Collection, Iterator
from dataclasses import dataclass

from django.db.models import Exists, OuterRef, QuerySet, Subquery, Sum
from django.db.models.functions import Coalesce

from instruments.models.together import alongside, asked, asking, hand_on
from workorders.calc.sequence import working_sequence
from workorders.models import GateWaiver, ItemKeyMark, PartUsed, TimeSpent, WorkItem, WorkOrder
from workorders.models.gates import held_by_structure
from workorders.order_rules import waiting_words
from workorders.outside_problems import jobs_that_hold, words_for_outside
from workorders.states import ItemState

READY, WAITS, DONE, LEFT = "ready", "waits", "done", "left"


@dataclass(frozen=True)
class Step:
    item: WorkItem
    number: int
    state: str
    waits_for: tuple[str, ...] = ()
    minutes: int = 0
    cost_minor: int = 0

    @property
    def waits_words(self) -> str:
        """ "waits for 2 and 5": steps of the same order by number, others by name."""
        *most, last = self.waits_for or [""]
        return f"waits for {', '.join(most)} and {last}" if most else f"waits for {last}"


@dataclass(frozen=True)
class OrderSteps:
    order: WorkOrder
    steps: tuple[Step, ...]

    @property
    def next_step(self) -> Step | None:
        return next((step for step in self.steps if step.state == READY), None)

    @property
    def closed_count(self) -> int:
        return sum(step.state in {DONE, LEFT} for step in self.steps)

    @property
    def minutes(self) -> int:
        return sum(step.minutes for step in self.steps)

    @property
    def usual_minutes_left(self) -> int:
        return sum(step.item.usual_minutes for step in self.steps if step.item.is_open)

    @property
    def cost_minor(self) -> int:
        return sum(step.cost_minor for step in self.steps)


@asking
def steps_of(orders: Collection[WorkOrder]):
    """`OrderSteps` by the key of each order, in as many queries however many there are."""
    items: dict[int, list[WorkItem]] = {order.pk: [] for order in orders}
    of_orders, held, jobs = yield from alongside(
        _items_of(orders), waiting_words.later(orders), asked.later(jobs_that_hold(orders))
    )
    for item in of_orders:
        items[item.order_id].append(item)
    outside = words_for_outside(of_orders, jobs)
    return {
        order.pk: OrderSteps(order, tuple(_numbered(items[order.pk], held.get(order.pk, ()), outside)))
        for order in orders
    }


def _items_of(orders: Collection[WorkOrder]):
    """Each with what it needs and with its waivers."""
    keys = [order.pk for order in orders]
    needing = WorkItem.needs.through.objects.filter(from_workitem__order__in=keys)
    waivers = GateWaiver.objects.filter(item__order__in=keys)
    items, needing, waivers = yield (
        _with_sums(WorkItem.objects.filter(order__in=keys)),
        needing.select_related("to_workitem__order").order_by("to_workitem__rank", "to_workitem"),
        waivers.select_related("gate", "finding", "waived_by"),
    )
    for item in items:
        hand_on(item, "needs", [each.to_workitem for each in needing if each.from_workitem_id == item.pk])
        hand_on(item, "waivers", [each for each in waivers if each.item_id == item.pk])
    return list(items)


def _with_sums(items: QuerySet[WorkItem]) -> QuerySet[WorkItem]:
    return items.select_related(
        "order", "task", "assigned_to", "closed_by", "overridden_by", "weighing"
    ).annotate(
        minutes_spent=sum_of(TimeSpent, "minutes"),
        labour_minor=sum_of(TimeSpent, "cost_minor"),
        parts_minor=sum_of(PartUsed, "cost_minor"),
        asks_for_keys=Exists(ItemKeyMark.objects.filter(item=OuterRef("pk"))),
        is_held_by_structure=Exists(WorkItem.objects.filter(pk=OuterRef("pk")).filter(held_by_structure())),
    )


def sum_of(model, what: str) -> Coalesce:
    """One sum for each item, by itself: joined together, times and parts would count each other twice."""
    sums = model.objects.filter(item=OuterRef("pk")).order_by().values("item").annotate(sum=Sum(what))
    return Coalesce(Subquery(sums.values("sum")), 0)


def _numbered(
    items: list[WorkItem], held: tuple[str, ...], outside: dict[int, tuple[str, ...]]
) -> Iterator[Step]:
    by_key = {item.pk: item for item in items}
    needs = {item.pk: [need.pk for need in item.needs.all()] for item in items}
    sequence = working_sequence(needs, {item.pk: (item.rank, item.pk) for item in items})
    numbers = {key: number for number, key in enumerate(sequence, start=1)}
    for key in sequence:
        item = by_key[key]
        open_needs = [need for need in item.needs.all() if need.is_open]
        waits_for = (
            tuple(
                str(numbers[need.pk]) if need.pk in numbers else f"“{need.name}” in {need.order.number}"
                for need in sorted(open_needs, key=lambda need: numbers.get(need.pk, len(numbers) + 1))
            )
            + held
            + (("the structure",) if item.is_held_by_structure else ())
            + outside.get(item.pk, ())
        )
        yield Step(
            item=item,
            number=numbers[key],
            state=_state(item, waits_for),
            waits_for=waits_for if item.is_open else (),
            minutes=item.minutes_spent,
            cost_minor=item.labour_minor + item.parts_minor,
        )


def _state(item: WorkItem, waits_for: tuple[str, ...]) -> str:
    if item.state == ItemState.DONE:
        return DONE
    if item.state == ItemState.LEFT:
        return LEFT
    return WAITS if waits_for else READY
