"""Call-backs: taken down, judged, made work at a press, closed with what was found."""

from datetime import date, timedelta
from decimal import Decimal

from django.db import transaction

from instruments.actions.history import save_tracked
from instruments.actions.numbers import next_number
from instruments.models import Instrument
from instruments.problems import Refused, refuse_if_blocked
from shop.after_care import care_of
from shop.care_problems import (
    answering_problems,
    closing_problems,
    ordering_problems,
    verdict_problems,
    why_not_told_then,
)
from shop.models import CallBack, CallBackAnswer, CallBackJudgement, Promise, UsualCare
from shop.states import PromiseKind
from workorders.actions.orders import add_own_item, open_order
from workorders.models import WorkOrder

LONGEST_NAME = 60


@transaction.atomic
def take_call_back(
    *,
    instrument: Instrument,
    words: str,
    part: str,
    part_name: str,
    urgent: bool = False,
    told_on: date,
    by,
    on: date,
) -> CallBack:
    """From whoever has it: by a sale that stands, or on a home trial."""
    Instrument.objects.select_for_update().get(pk=instrument.pk)
    promise = promise_called_back_on(instrument)
    if promise is None:
        raise Refused("Nobody has it from us by a sale or on a home trial.")
    if too_early := why_not_told_then(promise, told_on):
        raise Refused(too_early)
    usual = UsualCare.current()
    days = usual.answer_urgent_days if urgent else usual.answer_days
    call_back = CallBack(
        number=next_number("call-back", on=on, prefix="CB"),
        instrument=instrument,
        promise=promise,
        person=promise.person,
        told_on=told_on,
        words=words,
        part=part,
        part_name=part_name,
        urgent=urgent,
        answer_by=told_on + timedelta(days=days),
        taken_by=by,
    )
    save_tracked(call_back, by=by, why=f"{call_back.number} taken down: {part_name.lower()}")
    return call_back


def promise_called_back_on(instrument: Instrument) -> Promise | None:
    kinds = [PromiseKind.SALE, PromiseKind.TRIAL]
    promises = Promise.objects.open().filter(instrument=instrument, kind__in=kinds)
    return promises.select_related("person").first()


@transaction.atomic
def judge_call_back(
    *,
    call_back: CallBack,
    verdict: str,
    why: str = "",
    humidity_percent: Decimal | None = None,
    temperature_c: Decimal | None = None,
    by,
    on: date,
) -> CallBackJudgement:
    """Whose cost it is, and why. Judged again, the newer row counts and the older stays."""
    current = _held(call_back)
    refuse_if_blocked(verdict_problems(current, standing_of(current, on=on), verdict, why))
    return CallBackJudgement.objects.create(
        call_back=current,
        verdict=verdict,
        why=why,
        humidity_percent=humidity_percent,
        temperature_c=temperature_c,
        judged_on=on,
        recorded_by=by,
    )


@transaction.atomic
def answer_call_back(
    *, call_back: CallBack, answered_on: date, how: str, words: str, by, on: date
) -> CallBackAnswer:
    """What the customer was told of it: after it was judged, not before they told of it."""
    current = _held(call_back)
    refuse_if_blocked(answering_problems(current))
    if answered_on < current.told_on:
        raise Refused(f"They told of it on {current.told_on:%-d %B %Y}, a later day than this.")
    return CallBackAnswer.objects.create(
        call_back=current, answered_on=answered_on, how=how, words=words, recorded_by=by
    )


@transaction.atomic
def order_call_back(*, call_back: CallBack, by, on: date) -> WorkOrder:
    """A work order with one item in the customer's words; the bench adds what it needs."""
    current = _held(call_back)
    refuse_if_blocked(ordering_problems(current))
    name = f"Call-back {current.number}: {current.part_name.lower()}"
    order = open_order(instrument=current.instrument, title=name, note=current.words, by=by, on=on)
    item = f"See to {current.part_name[:LONGEST_NAME].lower()}"
    add_own_item(order=order, name=item, note=current.words, by=by, on=on)
    current.order = order
    save_tracked(current, by=by, why=f"{current.number} became work order {order.number}")
    return order


@transaction.atomic
def close_call_back(
    *, call_back: CallBack, outcome: str, found: str, confirmed_on: date | None = None, by, on: date
) -> CallBack:
    """`confirmed_on` is the day on which the customer said that it is right, where they have."""
    current = _held(call_back)
    refuse_if_blocked(closing_problems(current))
    current.outcome, current.found, current.confirmed_on = outcome, found, confirmed_on
    current.closed_on, current.closed_by = on, by
    save_tracked(current, by=by, why=f"{current.number} closed: {current.outcome_words.lower()}")
    return current


@transaction.atomic
def confirm_call_back(*, call_back: CallBack, confirmed_on: date, by) -> CallBack:
    """The customer says, after it was closed as put right, that it is."""
    current = _held(call_back)
    if not current.waits_for_their_word:
        raise Refused(f"{current.number} does not wait for the customer’s word.")
    if confirmed_on < current.told_on:
        raise Refused(f"They told of it on {current.told_on:%-d %B %Y}, a later day than this.")
    current.confirmed_on = confirmed_on
    save_tracked(current, by=by, why=f"{current.number}: the customer says that it is right")
    return current


def standing_of(call_back: CallBack, *, on: date):
    """The after-care of the sale it was told under; none on a home trial."""
    if call_back.promise.kind != PromiseKind.SALE:
        return None
    return care_of(call_back.promise.sale, on=on)


def _held(call_back: CallBack) -> CallBack:
    rows = CallBack.objects.select_for_update(of=("self",)).select_related("instrument", "promise", "order")
    return rows.get(pk=call_back.pk)
