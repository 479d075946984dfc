"""Orders of work: opened, filled from the library, called ready, given up, taken up again."""

from collections.abc import Iterable
from datetime import date

from django.db import transaction

from instruments.actions.history import save_tracked
from instruments.actions.numbers import next_number
from instruments.models import Instrument
from instruments.problems import Blocked, Blocker, refuse_if_blocked
from workorders.actions.holding import hold_instrument, hold_order
from workorders.actions.items import pass_needs_on
from workorders.actions.moments import moment_on
from workorders.calc.sequence import circle_in, nearest_present
from workorders.models import Task, WorkItem, WorkOrder
from workorders.problems import giving_up_problems, needs_on_instrument, order_problems
from workorders.states import Acceptance, ItemState, OrderState

NAMED_AT_MOST = 5
LAST_RANK = 32_767  # the largest that PositiveSmallIntegerField holds
COPIED = (
    *("name", "rank", "usual_minutes", "acceptance", "done_when"),
    *("figure_name", "figure_unit", "figure_low", "figure_high", "caution"),
    *("drift_cents", "drift_days", "concern"),
)


@transaction.atomic
def open_order(
    *,
    instrument: Instrument,
    title: str,
    by,
    on: date,
    tasks: Iterable[Task] = (),
    note: str = "",
    due_on: date | None = None,
) -> WorkOrder:
    """Open an order with these tasks, in the order of work, each waiting for what must come first."""
    hold_instrument(instrument)
    order = WorkOrder(
        number=next_number("order", on=on, prefix="W"),
        instrument=instrument,
        title=title,
        note=note,
        due_on=due_on,
        opened_on=on,
        opened_by=by,
    )
    save_tracked(order, by=by, why=f"Work order {order.number} opened: {title}")
    add_items(order=order, tasks=tasks, by=by, on=on)
    return order


@transaction.atomic
def add_items(*, order: WorkOrder, tasks: Iterable[Task], by, on: date) -> list[WorkItem]:
    """Put tasks into an open order; what is open on the instrument already is not added twice.

    A new item waits for the items of this instrument that its task must come after, and open items wait for
    it in turn, looking through tasks that nobody ordered.
    """
    order = hold_order(order)
    _refuse_unless_open(order)
    on_instrument = _items_by_task(order.instrument_id)
    still_open = {key for key, items in on_instrument.items() if any(item.is_open for item in items)}
    added = []
    for task in sorted(set(tasks), key=lambda task: (task.rank, task.pk)):
        if task.pk not in still_open:
            item = WorkItem(order=order, task=task, **{name: getattr(task, name) for name in COPIED})
            save_tracked(item, by=by, why="")  # the order tells of them all in one line
            on_instrument.setdefault(task.pk, []).append(item)
            added.append(item)
    _link_by_library(order.instrument_id, on_instrument, added)
    if added:
        save_tracked(order, by=by, why=f"Added to {order.number}: {_listed([item.name for item in added])}")
    return added


@transaction.atomic
def add_own_item(
    *,
    order: WorkOrder,
    name: str,
    by,
    on: date,
    note: str = "",
    keys: str = "",
    usual_minutes: int = 60,
    is_required: bool = True,
    acceptance: str = Acceptance.NOTE,
    done_when: str = "",
    caution: str = "",
) -> WorkItem:
    """Work in the shop's own words, last in the order until something is made to wait for it."""
    order = hold_order(order)
    _refuse_unless_open(order)
    last = order.items.order_by("-rank").values_list("rank", flat=True).first() or 0
    item = WorkItem(
        order=order,
        name=name,
        rank=min(last + 1, LAST_RANK),
        note=note,
        keys=keys,
        usual_minutes=usual_minutes,
        is_required=is_required,
        acceptance=acceptance,
        done_when=done_when,
        caution=caution,
    )
    save_tracked(item, by=by, why=f"“{name}” added to {order.number}")
    return item


@transaction.atomic
def describe_order(*, order: WorkOrder, title: str, due_on: date | None, note: str, by) -> WorkOrder:
    """Change what an open order is called, when it is wanted and what is noted for the bench."""
    order = hold_order(order)
    _refuse_unless_open(order)
    order.title, order.due_on, order.note = title, due_on, note
    wanted = f", wanted by {due_on:%-d %B %Y}" if due_on else ""
    save_tracked(order, by=by, why=f"{order.number} is now “{title}”{wanted}")
    return order


@transaction.atomic
def close_order(*, order: WorkOrder, by, on: date) -> WorkOrder:
    """Call an order ready. What was not required and is still open is left, and says so."""
    order = hold_order(order)
    refuse_if_blocked(order_problems(order))
    return _close(order, OrderState.READY, "Not done when the order was called ready.", by=by, on=on)


@transaction.atomic
def give_up_order(*, order: WorkOrder, reason: str, by, on: date) -> WorkOrder:
    """Stop work on an order; what is open in it is left."""
    order = hold_order(order)
    refuse_if_blocked(giving_up_problems(order, by))
    _refuse_without(reason, "Say why the order is given up.")
    return _close(order, OrderState.ABANDONED, reason.strip(), by=by, on=on)


@transaction.atomic
def reopen_order(*, order: WorkOrder, reason: str, by, on: date) -> WorkOrder:
    """Take an order up again, with the items its closing left, but for those that later work stands on."""
    order = hold_order(order)
    if order.is_open:
        raise Blocked([Blocker(f"{order.number} is open.")])
    _refuse_without(reason, "Say why the order is opened again.")
    closed_at = order.closed_at
    order.state, order.closed_at, order.closed_by = OrderState.OPEN, None, None
    save_tracked(order, by=by, why=f"{order.number} opened again: {reason.strip()}")
    left_by_closing = order.items.filter(state=ItemState.LEFT, closed_at=closed_at)
    for item in left_by_closing.exclude(needed_by__state=ItemState.DONE):
        item.state, item.result, item.closed_at, item.closed_by = ItemState.OPEN, "", None, None
        save_tracked(item, by=by, why=f"“{item.name}” opened again with {order.number}")
    return order


def _close(order: WorkOrder, state: str, left_because: str, *, by, on: date) -> WorkOrder:
    moment = moment_on(on)
    for item in order.items.filter(state=ItemState.OPEN):
        pass_needs_on(item)
        item.state, item.result = ItemState.LEFT, left_because
        item.closed_at, item.closed_by = moment, by
        save_tracked(item, by=by, why=f"“{item.name}” left: {left_because}")
    order.state, order.closed_at, order.closed_by = state, moment, by
    words = "ready" if state == OrderState.READY else f"given up: {left_because}"
    save_tracked(order, by=by, why=f"{order.number} {words}")
    return order


def _items_by_task(instrument_id: int) -> dict[int, list[WorkItem]]:
    """Items of the instrument's open orders by their task; what was left does not count as being there."""
    items = WorkItem.objects.filter(
        order__instrument=instrument_id, order__state=OrderState.OPEN, task__isnull=False
    ).exclude(state=ItemState.LEFT)
    found: dict[int, list[WorkItem]] = {}
    for item in items:
        found.setdefault(item.task_id, []).append(item)
    return found


def _link_by_library(
    instrument_id: int, on_instrument: dict[int, list[WorkItem]], added: list[WorkItem]
) -> None:
    library: dict[int, set[int]] = {}
    for waiting, first in Task.needs.through.objects.values_list("from_task_id", "to_task_id"):
        library.setdefault(waiting, set()).add(first)
    new = {item.pk for item in added}
    needs = needs_on_instrument(instrument_id)
    pairs = [
        (item, need)
        for task, items in on_instrument.items()
        for first in nearest_present(task, library, on_instrument)
        for item in items
        for need in on_instrument[first]
        if item.is_open and new & {item.pk, need.pk}
    ]
    for item, need in pairs:
        needs.setdefault(item.pk, set()).add(need.pk)
    if circle_in(needs):
        raise Blocked([Blocker("With these tasks some items would wait for one another; link them by hand.")])
    WorkItem.needs.through.objects.bulk_create(
        [WorkItem.needs.through(from_workitem_id=item.pk, to_workitem_id=need.pk) for item, need in pairs],
        ignore_conflicts=True,
    )


def _listed(names: list[str]) -> str:
    more = len(names) - NAMED_AT_MOST
    return ", ".join(names[:NAMED_AT_MOST]) + (f" and {more} more" if more > 0 else "")


def _refuse_unless_open(order: WorkOrder) -> None:
    if not order.is_open:
        state = order.get_state_display().lower()
        raise Blocked([Blocker(f"{order.number} is {state}: reopen the order first.")])


def _refuse_without(reason: str, sentence: str) -> None:
    if not reason.strip():
        raise Blocked([Blocker(sentence)])
