"""What stands in the way of work outside, and how it stands in the way of work here."""

from collections.abc import Collection, Iterable
from datetime import date, timedelta

from django.db.models import Q, QuerySet, prefetch_related_objects
from django.utils import timezone

from instruments.models.together import asking
from instruments.models.worded import ASKED, of_one
from instruments.problems import Blocker, Caution, Problem
from instruments.states import Place
from workorders.gates import gate_problem, gates_before
from workorders.models import OutsideBill, OutsideJob, WorkItem, WorkOrder
from workorders.store_states import Goes, OutsideState

FURTHEST = timedelta(days=3 * 366)


def asking_problems(order: WorkOrder, items: Collection[WorkItem]) -> list[Problem]:
    """Why work of this order cannot be given out."""
    if not order.is_open:
        state = order.get_state_display().lower()
        return [Blocker(f"{order.number} is {state}: reopen the order first.", order.get_absolute_url())]
    return [
        Blocker(f"“{item.name}” is not an open item of {order.number}.", item.get_absolute_url())
        for item in items
        if item.order_id != order.pk or not item.is_open
    ]


def sending_problems(job: OutsideJob, *, goes: str, on: date, promised_on: date | None) -> list[Problem]:
    """Why this cannot go out now."""
    if job.state != OutsideState.ASKED:
        return [Blocker(f"{job.number} is {job.get_state_display().lower()} already.")]
    items = list(job.items.select_related("order"))
    problems = asking_problems(job.order, items) + promise_problems(promised_on, on)
    problems += _structure_first(items or job.order.items.open().select_related("order"))
    if goes == Goes.NOTHING:
        return problems
    return problems + _gone_already(job, goes)


def _structure_first(items: Iterable[WorkItem]) -> list[Problem]:
    """Asking for a price costs nothing; sending looks out before the structure is proven does."""
    return [gate_problem(gate) for item in items for gate in gates_before(item)]


def _gone_already(job: OutsideJob, goes: str) -> list[Problem]:
    """What is somewhere else cannot go: the whole instrument, or the piece of one of these items."""
    instrument = job.order.instrument
    away = OutsideJob.objects.away().filter(order__instrument=instrument).exclude(pk=job.pk)
    here = Q(goes=Goes.WHOLE) | Q(items__in=job.items.all())
    others = list(away.filter(here).select_related("outworker").distinct())
    problems: list[Problem] = [
        Blocker(f"{other.number}: it is with {other.outworker} already.", other.get_absolute_url())
        for other in others
    ]
    if goes == Goes.WHOLE and instrument.place in {Place.CUSTOMER, Place.SELLER}:
        problems.append(Caution(f"By its whereabouts it is {instrument.get_place_display().lower()}."))
    return problems


def promise_problems(promised_on: date | None, on: date) -> list[Problem]:
    if promised_on is not None and not on <= promised_on <= on + FURTHEST:
        return [Blocker("It can only be promised for a day after it goes, within three years.")]
    return []


def back_problems(job: OutsideJob, *, on: date) -> list[Problem]:
    if job.state != OutsideState.SENT:
        return [Blocker(f"{job.number} is {job.get_state_display().lower()}: it is not with them.")]
    if on < job.sent_on:
        return [Blocker(f"It only went on {job.sent_on:%-d %B %Y}.")]
    return []


def cancelling_problems(job: OutsideJob) -> list[Problem]:
    if not job.is_open:
        return [Blocker(f"{job.number} is {job.get_state_display().lower()} already.")]
    if job.is_away:
        return [Blocker(f"It is with {job.outworker}: write down that it is back first.")]
    return []


def billing_problems(job: OutsideJob, amount_minor: int) -> list[Problem]:
    if amount_minor < 0:
        return [Blocker("A bill cannot be less than nothing.")]
    return []


def bill_back_problems(bill: OutsideBill) -> list[Problem]:
    if bill.corrects_id or OutsideBill.objects.filter(corrects=bill).exists():
        return [Blocker("This bill has been taken back already.")]
    return []


@asking
def away_problems(item: WorkItem):
    """Why an item waits for work outside: "with Hazel Finch until 4 December 2026, overdue by 3 days"."""
    (jobs,) = yield (_jobs_away(item.order_id),)
    jobs, on = list(jobs), timezone.localdate()
    prefetch_related_objects(jobs, "items")
    return [
        Blocker(f"It is {job.under_way_words(on)}.", job.get_absolute_url())
        for job in jobs
        if holds(job, item)
    ]


@of_one
def _jobs_away() -> QuerySet[OutsideJob]:
    """`jobs_that_hold` for one order."""
    instrument = WorkOrder.objects.filter(pk=ASKED).order_by().values("instrument")
    whole = Q(order__instrument__in=instrument, goes=Goes.WHOLE)
    jobs = OutsideJob.objects.away().filter(Q(order=ASKED) | whole)
    return jobs.select_related("outworker", "order").order_by("id")


@asking
def waited_for_outside(items: Collection[WorkItem]):
    """By its key, whom each open item waits for, and until when, as a tuple of words."""
    (jobs,) = yield (jobs_that_hold([item.order for item in items if item.is_open]),)
    return words_for_outside(items, jobs)


def words_for_outside(items: Iterable[WorkItem], jobs: Collection[OutsideJob]) -> dict[int, tuple[str, ...]]:
    on = timezone.localdate()
    return {
        item.pk: words
        for item in items
        if item.is_open and (words := tuple(job.until_words(on) for job in jobs if holds(job, item)))
    }


def order_away_problems(order: WorkOrder) -> list[Problem]:
    """An order is not ready while work for it is out, or asked for."""
    jobs = OutsideJob.objects.open().filter(order=order).select_related("outworker").order_by("id")
    return [
        Blocker(f"{job}: not back yet.", job.get_absolute_url())
        if job.is_under_way
        else Blocker(f"{job}: asked for. Send it, or cancel it.", job.get_absolute_url())
        for job in jobs
    ]


def jobs_that_hold(orders: Collection[WorkOrder]) -> QuerySet[OutsideJob]:
    """What is out of the house of these orders, or of their instruments as a whole, in two queries."""
    away = OutsideJob.objects.away()
    of_orders = Q(order__in={order.pk for order in orders})
    of_instruments = Q(order__instrument__in={order.instrument_id for order in orders}, goes=Goes.WHOLE)
    return (
        away.filter(of_orders | of_instruments)
        .select_related("outworker", "order")
        .prefetch_related("items")
        .order_by("id")
    )


def holds(job: OutsideJob, item: WorkItem) -> bool:
    """Whether this job keeps the item from being done; `WorkItemQuerySet` says the same in SQL."""
    if job.goes == Goes.WHOLE:
        return job.order.instrument_id == item.order.instrument_id
    named = [each.pk for each in job.items.all()]
    return item.pk in named or (not named and job.order_id == item.order_id)
