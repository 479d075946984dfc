"""From the work on file to the worksheet: of one order, or of one person's bench."""

from collections.abc import Callable, Iterable
from datetime import date

from workorders.calc.durations import minutes_words
from workorders.documents.worksheet import Worksheet, WorksheetItem, WorksheetOrder, build_worksheet
from workorders.models import WorkItem, WorkOrder
from workorders.states import Acceptance
from workorders.steps import OrderSteps, Step, steps_of

ITEMS_PRINTED = 60


def order_worksheet(order: WorkOrder, *, address_of: Callable, on: date) -> bytes:
    work = steps_of([order])[order.pk]
    steps = [step for step in work.steps if step.item.is_open]
    return build_worksheet(
        Worksheet(
            title=f"Worksheet {order.number}",
            said=f"{order.title}: {work.closed_count} of {len(work.steps)} done.",
            number=order.number,
            printed_on=on,
            orders=(_order(work, steps, address_of),),
        )
    )


def bench_worksheet(person, *, address_of: Callable, on: date) -> bytes:
    """A person's own open items across all instruments, what can be done now and what waits."""
    name = person.get_full_name() or person.get_username()
    items = WorkItem.objects.open().filter(assigned_to=person).order_by("order__due_on", "order_id", "rank")
    mine = list(items.values_list("pk", "order_id")[:ITEMS_PRINTED])
    keys, order_keys = {pk for pk, _ in mine}, {order for _, order in mine}
    orders = WorkOrder.objects.filter(pk__in=order_keys).select_related("instrument")
    works = steps_of(orders.order_by("due_on", "id"))
    return build_worksheet(
        Worksheet(
            title=f"Worksheet of {name}",
            said=f"{len(keys)} item{'s' * (len(keys) != 1)} on the bench.",
            number="",
            printed_on=on,
            orders=tuple(
                _order(work, [step for step in work.steps if step.item.pk in keys], address_of)
                for work in works.values()
            ),
        )
    )


def _order(work: OrderSteps, steps: Iterable[Step], address_of: Callable) -> WorksheetOrder:
    order = work.order
    names = {str(step.number): f"“{step.item.name}”" for step in work.steps}
    return WorksheetOrder(
        title=order.title,
        number=order.number,
        instrument=order.instrument.maker_name,
        stock_number=order.instrument.stock_number,
        told=f"Wanted by {order.due_on:%-d %B %Y}." if order.due_on else "",
        note=order.note,
        address=address_of(order),
        items=tuple(_item(step, names, address_of) for step in steps),
    )


def _item(step: Step, names: dict[str, str], address_of: Callable) -> WorksheetItem:
    item = step.item
    waits = [names.get(each, each) for each in step.waits_for]
    told = [f"about {minutes_words(item.usual_minutes)}"]
    if step.minutes > 0:
        told.append(f"{minutes_words(step.minutes)} spent")
    if item.acceptance != Acceptance.NOTE:
        told.append(item.closes_on)
    return WorksheetItem(
        number=step.number,
        name=item.name,
        told=" · ".join(told),
        waits=f"Waits for {', '.join(waits)}." if waits else "",
        keys=item.keys,
        note=item.note,
        done_when=item.done_when,
        caution=item.caution,
        writes=_lines(item),
        address=address_of(item),
    )


def _lines(item: WorkItem) -> tuple[str, ...]:
    """What there is to write down: the figure it closes on, with its limits, and what it took."""
    figure = f"{item.figure_name}: {item.limits_words}" if item.figure_name else ""
    return (*([figure] if figure else []), "Minutes", "Parts")
