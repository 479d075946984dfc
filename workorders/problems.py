"""What stands in the way of work. The page prints it, the action refuses by it."""

from collections.abc import Collection

from django.db.models import QuerySet
from django.utils import timezone

from instruments.models.together import alongside, asking
from instruments.models.worded import ASKED, of_one
from instruments.problems import Blocker, Problem
from workorders.calc.sequence import circle_in
from workorders.gates import gate_problem, gates_before
from workorders.models import Task, WorkItem, WorkOrder
from workorders.order_rules import beginning_problems
from workorders.outside_problems import away_problems, order_away_problems
from workorders.states import ItemState

OWNERS_RIGHT = "workorders.override_acceptance"


@asking
def item_problems(item: WorkItem):
    """Why this item cannot be closed now, whatever was done."""
    if not item.is_open:
        return [Blocker(closed_words(item), item.get_absolute_url())]
    gates = gates_before(item)
    not_yet, waiting, away = yield from alongside(
        beginning_problems.later(item.order),
        waiting_problems.later(item, told={gate.item.pk for gate in gates if gate.item}),
        away_problems.later(item),
    )
    return [*_order_is_open_problems(item.order), *not_yet, *waiting, *map(gate_problem, gates), *away]


def waiving_problems(item: WorkItem, by) -> list[Problem]:
    """Why somebody may not let this item go on before the structure is proven."""
    if not item.is_open:
        return [Blocker(closed_words(item), item.get_absolute_url())]
    problems = _order_is_open_problems(item.order)
    if not by.has_perm(OWNERS_RIGHT):
        problems.append(Blocker("Only the owner may let looks go before structure."))
    if not gates_before(item):
        problems.append(Blocker("Nothing of the structure stands before it.", item.get_absolute_url()))
    return problems


@asking
def waiting_problems(item: WorkItem, told: Collection[int] = ()):
    """What must come first and is still open: "Lubricate the action first."; not what is `told` already."""
    (needs,) = yield (_open_needs(item.pk),)
    return [
        Blocker(f"{need.name} first{_elsewhere(need, item)}.", need.get_absolute_url())
        for need in needs
        if need.pk not in told
    ]


@of_one
def _open_needs() -> QuerySet[WorkItem]:
    needs = WorkItem.objects.filter(needed_by=ASKED, state=ItemState.OPEN)
    return needs.select_related("order").order_by("rank", "pk")


def leaving_problems(item: WorkItem, by) -> list[Problem]:
    """Why somebody may not decide that this item is left as it is."""
    if not item.is_open:
        return [Blocker(closed_words(item), item.get_absolute_url())]
    problems = _order_is_open_problems(item.order)
    if by.has_perm(OWNERS_RIGHT):
        return problems
    if item.is_required:
        problems.append(Blocker("It is required before the order is ready: only the owner may leave it."))
    return problems + [
        Blocker(f"“{other.name}” waits for it: only the owner may leave it.", other.get_absolute_url())
        for other in item.needed_by.filter(state=ItemState.OPEN)
    ]


def reopening_problems(item: WorkItem) -> list[Problem]:
    """Why a closed item must stay closed: what was done on top of it would hang in the air."""
    if item.is_open:
        return [Blocker(f"“{item.name}” is open.", item.get_absolute_url())]
    return _order_is_open_problems(item.order) + [
        Blocker(f"“{other.name}” was done after it: reopen that first.", other.get_absolute_url())
        for other in item.needed_by.filter(state=ItemState.DONE)
    ]


def order_problems(order: WorkOrder) -> list[Problem]:
    """Why this order cannot be called ready."""
    if not order.is_open:
        return [Blocker(f"{order.number} is {order.get_state_display().lower()} already.")]
    still_open = list(order.items.filter(state=ItemState.OPEN))
    required = [item for item in still_open if item.is_required]
    return [
        *beginning_problems(order),
        *(Blocker(f"{item.name}: required, and still open.", item.get_absolute_url()) for item in required),
        *_waited_for_elsewhere([item for item in still_open if not item.is_required]),
        *order_away_problems(order),
    ]


def giving_up_problems(order: WorkOrder, by) -> list[Problem]:
    """Why somebody may not give this order up."""
    if not order.is_open:
        return [Blocker(f"{order.number} is {order.get_state_display().lower()} already.")]
    still_open = list(order.items.filter(state=ItemState.OPEN))
    outside = order_away_problems(order)
    if by.has_perm(OWNERS_RIGHT):
        return outside
    if any(item.is_required for item in still_open):
        return [Blocker("Required work in it is open: only the owner may give it up."), *outside]
    return _waited_for_elsewhere(still_open) + outside


def linking_problems(item: WorkItem, need: WorkItem) -> list[Problem]:
    """Why one item cannot wait for another."""
    if need.pk == item.pk:
        return [Blocker("An item cannot wait for itself.")]
    if need.order.instrument_id != item.order.instrument_id:
        return [Blocker(f"“{need.name}” is work on another instrument.")]
    if not item.is_open:
        return [Blocker(closed_words(item), item.get_absolute_url())]
    if need.state == ItemState.LEFT:
        return [Blocker(f"“{need.name}” was left as it is; reopen it first.", need.get_absolute_url())]
    needs = needs_on_instrument(item.order.instrument_id)
    needs.setdefault(item.pk, set()).add(need.pk)
    if circle_in(needs):
        return [Blocker(f"“{need.name}” already waits for “{item.name}”: neither could ever start.")]
    return []


def needs_on_instrument(instrument_id: int) -> dict[int, set[int]]:
    """What must come first for each item of an instrument that waits for anything."""
    pairs = WorkItem.needs.through.objects.filter(from_workitem__order__instrument=instrument_id).values_list(
        "from_workitem_id", "to_workitem_id"
    )
    needs: dict[int, set[int]] = {}
    for item, need in pairs:
        needs.setdefault(item, set()).add(need)
    return needs


def task_needs_problems(task: Task, needs: Collection[Task]) -> list[Problem]:
    """Why a task of the library cannot wait for these others."""
    if task in needs:
        return [Blocker("A task cannot wait for itself.")]
    pairs = Task.needs.through.objects.exclude(from_task=task.pk).values_list("from_task_id", "to_task_id")
    graph: dict[int, set[int]] = {}
    for waiting, first in pairs:
        graph.setdefault(waiting, set()).add(first)
    graph[task.pk or 0] = {need.pk for need in needs}
    if not (circle := circle_in(graph)):
        return []
    names = dict(Task.objects.filter(pk__in=circle).values_list("pk", "name"))
    listed = ", ".join(f"“{names.get(key, task.name)}”" for key in circle)
    return [Blocker(f"These would wait for one another, so none could start: {listed}.")]


def closed_words(item: WorkItem) -> str:
    """Who closed it and when, for the one who came second."""
    when = timezone.localtime(item.closed_at)
    name = item.closed_by.get_full_name() or item.closed_by.get_username()
    did = "closed" if item.state == ItemState.DONE else "left"
    as_it_is = "" if item.state == ItemState.DONE else " as it is"
    return f"{name} {did} “{item.name}”{as_it_is} on {when:%-d %B %Y} at {when:%H:%M}."


def _order_is_open_problems(order: WorkOrder) -> list[Problem]:
    if order.is_open:
        return []
    state = order.get_state_display().lower()
    return [Blocker(f"{order.number} is {state}: reopen the order first.", order.get_absolute_url())]


def _waited_for_elsewhere(items: Collection[WorkItem]) -> list[Problem]:
    waiting = (
        WorkItem.needs.through.objects.filter(
            to_workitem__in=[item.pk for item in items], from_workitem__state=ItemState.OPEN
        )
        .exclude(from_workitem__order__in={item.order_id for item in items})
        .select_related("from_workitem__order", "to_workitem")
    )
    return [
        Blocker(
            f"“{pair.from_workitem.name}” in {pair.from_workitem.order.number} "
            f"waits for “{pair.to_workitem.name}”.",
            pair.to_workitem.get_absolute_url(),
        )
        for pair in waiting
    ]


def _elsewhere(need: WorkItem, item: WorkItem) -> str:
    return "" if need.order_id == item.order_id else f", in {need.order.number}"
