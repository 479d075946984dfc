"""The plan as pictures: the chain of one order, the orders of the shop."""

from collections.abc import Sequence
from datetime import date, timedelta

from instruments.drawings.day_bars import HATCHED, OPEN, SOLID, DayBar, DayChart, DayRow
from workorders.estimates import Estimate, Link
from workorders.stuck import Stuck


def chain_chart(estimate: Estimate) -> DayChart:
    """What decides the day of an order, one bar below the other."""
    order = estimate.order
    rows = [DayRow(_label(link), [_bar(link)]) for link in estimate.links]
    last = max(estimate.finish_on, estimate.links[-1].ends_on)
    if order.due_on:
        wanted = DayRow(f"Wanted by {order.due_on:%-d %B}", wanted=order.due_on)
        rows.append(wanted)
        last = min(max(last, order.due_on), last + timedelta(days=56))
    return DayChart(
        name=f"What decides the day of {order.number}",
        description=f"{len(estimate.links)} steps, the last on {estimate.finish_on:%-d %B %Y}.",
        rows=rows,
        first=min([estimate.on, *(link.starts_on for link in estimate.links)]),
        last=_at_least_a_week(estimate.on, last),
    )


def _label(link: Link) -> str:
    return f"{link.name} · {link.who}{f' · {link.elsewhere}' if link.elsewhere else ''}"


def _bar(link: Link) -> DayBar:
    look = HATCHED if link.is_outside else OPEN if link.elsewhere else SOLID
    words = f"{link.name}: {link.starts_on:%-d %B} to {link.ends_on:%-d %B}"
    return DayBar(link.starts_on, link.ends_on, words, look)


def orders_chart(estimates: Sequence[Estimate], *, first: date, last: date) -> DayChart:
    """Each order from today to its estimated finish, with the day it is wanted."""
    return DayChart(
        name="Open orders over the weeks",
        description=f"{len(estimates)} orders from {first:%-d %B} to {last:%-d %B %Y}.",
        rows=[_order_row(each) for each in estimates],
        first=first,
        last=last,
    )


def _order_row(estimate: Estimate) -> DayRow:
    order = estimate.order
    bars = []
    if estimate.finish_on:
        words = f"{order.number}: done about {estimate.finish_on:%-d %B %Y}"
        bars.append(DayBar(estimate.on, estimate.finish_on, words, OPEN if estimate.is_late else SOLID))
    label = f"{order.instrument.stock_number} {order.title}"
    return DayRow(label, bars, order.due_on)


def stuck_chart(stuck: Sequence[Stuck], *, on: date) -> DayChart:
    """Since when each has not moved; what is older than half a year runs out of the picture."""
    since = min(each.since for each in stuck)
    return DayChart(
        name="What is stuck, and since when",
        description=f"{len(stuck)} pieces of work, the longest since {since:%-d %B %Y}.",
        rows=[_stuck_row(each) for each in stuck],
        first=min(max(since, on - timedelta(days=182)), on - timedelta(days=6)),
        last=on,
    )


def _stuck_row(stuck: Stuck) -> DayRow:
    days = f"{stuck.days} day{'s' * (stuck.days != 1)}"
    words = f"{stuck.why}, since {stuck.since:%-d %B %Y}"
    label = f"{stuck.order.instrument.stock_number} {days} · {stuck.why}"
    return DayRow(label, [DayBar(stuck.since, stuck.on, words, HATCHED)])


def _at_least_a_week(first: date, last: date) -> date:
    return max(last, first + timedelta(days=6))
