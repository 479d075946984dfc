"""Work given out of the house: asked for, agreed, sent, promised, back, billed, cancelled."""

from collections.abc import Collection
from datetime import date

from django.db import transaction

from instruments.actions.history import save_tracked
from instruments.actions.moves import move_instrument
from instruments.actions.numbers import next_number
from instruments.models import Photo
from instruments.problems import Blocked, Blocker, refuse_if_blocked
from instruments.states import Place
from workorders.actions.holding import hold_order
from workorders.models import OutsideBill, OutsideJob, Outworker, WorkItem, WorkOrder
from workorders.outside_problems import (
    asking_problems,
    back_problems,
    bill_back_problems,
    billing_problems,
    cancelling_problems,
    promise_problems,
    sending_problems,
)
from workorders.store_states import Goes, OutsideState


@transaction.atomic
def keep_outworker(*, outworker: Outworker, by) -> Outworker:
    """Add somebody who works for us, or change what is noted of them."""
    added = outworker.pk is None
    save_tracked(outworker, by=by, why=f"{outworker} {'added to' if added else 'changed in'} the outworkers")
    return outworker


@transaction.atomic
def ask_outside(
    *,
    order: WorkOrder,
    items: Collection[WorkItem] = (),
    outworker: Outworker,
    kind: str,
    work: str,
    by,
    on: date,
    goes: str = Goes.PARTS,
    what_goes: str = "",
) -> OutsideJob:
    """Ask for work outside on some items of an order, or without items on all of it. Nothing goes yet."""
    order = hold_order(order)
    refuse_if_blocked(asking_problems(order, items))
    job = OutsideJob(
        number=next_number("outside", on=on, prefix="O"),
        order=order,
        outworker=outworker,
        kind=kind,
        work=work,
        goes=goes,
        what_goes=what_goes,
        asked_on=on,
    )
    save_tracked(job, by=by, why=f"{job}: asked for, {work}")
    job.items.set(items)
    return job


@transaction.atomic
def describe_outside(
    *,
    job: OutsideJob,
    items: Collection[WorkItem],
    outworker: Outworker,
    kind: str,
    work: str,
    by,
) -> OutsideJob:
    """Change what is asked for and of whom, until it goes."""
    job = _held(job)
    if job.state != OutsideState.ASKED:
        raise Blocked([Blocker(f"{job.number} is {job.get_state_display().lower()} already.")])
    refuse_if_blocked(asking_problems(job.order, items))
    job.outworker, job.kind, job.work = outworker, kind, work
    save_tracked(job, by=by, why=f"{job}: {work}")
    job.items.set(items)
    return job


@transaction.atomic
def agree_price(*, job: OutsideJob, quoted_minor: int | None, agreed_minor: int | None, by) -> OutsideJob:
    """What they named, and what was agreed, as far as known. An agreed price is a cost still to come."""
    job = _held(job)
    if job.state == OutsideState.CANCELLED:
        raise Blocked([Blocker(f"{job.number} is cancelled.")])
    job.quoted_minor, job.agreed_minor = quoted_minor, agreed_minor
    words = "price agreed" if agreed_minor is not None else "price named"
    save_tracked(job, by=by, why=f"{job}: {words}", update_fields=["quoted_minor", "agreed_minor"])
    return job


@transaction.atomic
def send_out(
    *,
    job: OutsideJob,
    goes: str,
    what_goes: str,
    promised_on: date | None,
    condition: str,
    by,
    on: date,
) -> OutsideJob:
    """Let it go. The whereabouts of an instrument that goes as a whole are written down with it."""
    job = _held(job)
    refuse_if_blocked(sending_problems(job, goes=goes, on=on, promised_on=promised_on))
    if goes == Goes.PARTS and not what_goes.strip():
        raise Blocked([Blocker("Say which parts go.")])
    job.state, job.sent_on, job.promised_on = OutsideState.SENT, on, promised_on
    job.goes, job.what_goes, job.sent_condition = goes, what_goes.strip(), condition
    promised = f", promised for {promised_on:%-d %B %Y}" if promised_on else ""
    save_tracked(job, by=by, why=f"{job}: {_gone_words(job)} on {on:%-d %B %Y}{promised}")
    if goes == Goes.WHOLE:
        note = f"{job.outworker}, {job.number}"
        move_instrument(instrument=job.order.instrument, place=Place.OUTWORKER, note=note[:120], by=by, on=on)
    return job


@transaction.atomic
def promise_anew(*, job: OutsideJob, promised_on: date, why: str, by) -> OutsideJob:
    """Another day than the one first promised, and why."""
    job = _held(job)
    if job.state != OutsideState.SENT:
        raise Blocked([Blocker(f"{job.number} is {job.get_state_display().lower()}: it is not with them.")])
    refuse_if_blocked(promise_problems(promised_on, job.sent_on))
    job.promised_on = promised_on
    said = f": {why.strip()}" if why.strip() else ""
    save_tracked(
        job,
        by=by,
        why=f"{job}: promised for {promised_on:%-d %B %Y}{said}",
        update_fields=["promised_on"],
    )
    return job


@transaction.atomic
def bring_back(
    *,
    job: OutsideJob,
    condition: str,
    by,
    on: date,
    photo: Photo | None = None,
    place: str = Place.WORKSHOP,
) -> OutsideJob:
    """It is back, or they are done here: on which day, in what condition, with a photograph or none."""
    job = _held(job)
    refuse_if_blocked(back_problems(job, on=on))
    if photo and (photo.instrument_id != job.order.instrument_id or photo.removed_at):
        raise Blocked([Blocker("That photograph is not one of this instrument's.")])
    job.state, job.back_on, job.back_condition, job.photo = OutsideState.BACK, on, condition, photo
    said = f": {condition}" if condition else ""
    save_tracked(job, by=by, why=f"{job}: done and back on {on:%-d %B %Y}{said}")
    if job.goes == Goes.WHOLE:
        instrument = job.order.instrument
        move_instrument(instrument=instrument, place=place, note=f"Back, {job.number}", by=by, on=on)
    return job


@transaction.atomic
def cancel_outside(*, job: OutsideJob, reason: str, by) -> OutsideJob:
    """Give the work outside up; what has been billed stays a cost, nothing more is to come."""
    job = _held(job)
    refuse_if_blocked(cancelling_problems(job))
    if not reason.strip():
        raise Blocked([Blocker("Say why it is cancelled.")])
    job.state, job.cancel_reason = OutsideState.CANCELLED, reason.strip()
    save_tracked(job, by=by, why=f"{job}: cancelled. {job.cancel_reason}")
    return job


@transaction.atomic
def bill_outside(
    *, job: OutsideJob, amount_minor: int, by, on: date, is_last: bool = True, note: str = ""
) -> OutsideBill:
    """Write down a bill, or a part of one when more is to come."""
    job = _held(job)
    refuse_if_blocked(billing_problems(job, amount_minor))
    return OutsideBill.objects.create(
        job=job, amount_minor=amount_minor, billed_on=on, is_last=is_last, note=note, recorded_by=by
    )


@transaction.atomic
def take_back_bill(*, bill: OutsideBill, by) -> OutsideBill:
    """Undo a bill written down wrongly. Both lines stay."""
    job = _held(bill.job)
    refuse_if_blocked(bill_back_problems(bill))
    return OutsideBill.objects.create(
        job=job,
        amount_minor=-bill.amount_minor,
        billed_on=bill.billed_on,
        is_last=bill.is_last,
        corrects=bill,
        recorded_by=by,
    )


def _held(job: OutsideJob) -> OutsideJob:
    """The job as it is now; its instrument is held, so nothing of its work changes meanwhile."""
    order = hold_order(job.order)
    job = OutsideJob.objects.select_related("outworker").get(pk=job.pk)
    job.order = order
    return job


def _gone_words(job: OutsideJob) -> str:
    match job.goes:
        case Goes.WHOLE:
            return "the whole instrument went"
        case Goes.PARTS:
            return f"went: {job.what_goes},"
    return "begun here"
