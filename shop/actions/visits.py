"""Visits after a sale: booked, moved, written up, or not done and why; what those in the price cost us."""

from datetime import date
from fractions import Fraction

from django.db import transaction

from instruments.actions.history import save_tracked
from instruments.actions.numbers import next_number
from instruments.models import Instrument, house_a4_hz
from instruments.problems import Refused, refuse_if_blocked
from shop.actions.money import add_cost
from shop.after_care import care_of, standing_sale_of
from shop.care_problems import booking_problems, writing_up_problems
from shop.care_states import GUARANTEE_WORK, VisitKind, VisitState
from shop.models import CallBack, CareVisit, CostLine, VisitRecord
from shop.states import CostKind
from workorders.calc.money import round_half_up
from workorders.models import BenchRate


@transaction.atomic
def book_visit(
    *,
    instrument: Instrument,
    booked_for: date,
    who,
    where: str = "",
    note: str = "",
    included: bool = False,
    call_back: CallBack | None = None,
    by,
    on: date,
) -> CareVisit:
    """A day and somebody who goes. One in the price of the sale is refused once all of them are used."""
    Instrument.objects.select_for_update().get(pk=instrument.pk)
    sale = standing_sale_of(instrument)
    standing = care_of(sale, on=on) if sale else None
    refuse_if_blocked(booking_problems(standing, included=included))
    if call_back and not CallBack.objects.open().filter(pk=call_back.pk).exists():
        raise Refused(f"{call_back.number} is closed already.")
    visit = CareVisit(
        number=next_number("visit", on=on, prefix="V"),
        instrument=instrument,
        sale=sale,
        call_back=call_back,
        kind=VisitKind.CALL_BACK if call_back else VisitKind.TUNING,
        included=included,
        booked_for=booked_for,
        who=who,
        where=where,
        note=note,
        booked_by=by,
    )
    save_tracked(visit, by=by, why=f"{visit.number} booked for {booked_for:%-d %B %Y}, {_name(who)}")
    return visit


@transaction.atomic
def move_visit(*, visit: CareVisit, booked_for: date, who, why: str, by) -> CareVisit:
    """Another day, or somebody else who goes; it says why."""
    current = _held(visit)
    _refuse_unless_booked(current)
    if (current.booked_for, current.who_id) == (booked_for, who.pk):
        raise Refused("It is booked for that day and that person already.")
    current.booked_for, current.who = booked_for, who
    save_tracked(
        current,
        by=by,
        why=f"{current.number} moved to {booked_for:%-d %B %Y}, {_name(who)}: {why}",
    )
    return current


@transaction.atomic
def write_up_visit(*, visit: CareVisit, is_earlier: bool = False, by, on: date, **given) -> VisitRecord:
    """What was found, left and advised. `given`: fields of VisitRecord. One in the price costs us time.

    Written up again, the newer row corrects the one before, and what that one cost is taken back.
    """
    current = _held(visit)
    before = _before(current)
    record = {"was_done": True, "a4_hz": house_a4_hz(), "visited_by": by} | given
    refuse_if_blocked(writing_up_problems(current, record, is_earlier=is_earlier))
    if before and before.a4_hz:
        record["a4_hz"] = before.a4_hz
    line = _cost_of(current, record, before, by=by)
    written = VisitRecord.objects.create(
        visit=current, corrects=before, cost_line=line, recorded_by=by, **record
    )
    _close(current, VisitState.DONE, f"{current.number} written up", by)
    return written


@transaction.atomic
def visit_was_not_done(
    *, visit: CareVisit, visited_on: date, why_not: str, travel_minutes: int = 0, by, on: date
) -> VisitRecord:
    """Nobody at home, ill, the wrong day. A tuning in the price is free to be booked again."""
    current = _held(visit)
    _refuse_unless_booked(current)
    record = {"was_done": False, "visited_on": visited_on, "visited_by": by, "why_not": why_not}
    record |= {"travel_minutes": travel_minutes}
    line = _cost_of(current, record, None, by=by)
    written = VisitRecord.objects.create(visit=current, cost_line=line, recorded_by=by, **record)
    _close(current, VisitState.NOT_DONE, f"{current.number} not done: {why_not}", by)
    return written


def _before(visit: CareVisit) -> VisitRecord | None:
    if visit.state == VisitState.NOT_DONE:
        raise Refused(f"{visit.number} was not done. Book another visit.")
    return visit.records.standing().first()


def _held(visit: CareVisit) -> CareVisit:
    rows = CareVisit.objects.select_for_update(of=("self",)).select_related("instrument", "call_back", "who")
    return rows.get(pk=visit.pk)


def _refuse_unless_booked(visit: CareVisit) -> None:
    if not visit.is_booked:
        raise Refused(f"{visit.number} is not booked any more: {visit.get_state_display().lower()}.")


def _close(visit: CareVisit, state: str, why: str, by) -> None:
    again = "" if visit.is_booked else " again"
    visit.state = state
    save_tracked(visit, by=by, why=f"{why}{again}")


def _cost_of(visit: CareVisit, record: dict, before: VisitRecord | None, *, by) -> CostLine | None:
    """Its time at the rate of the day, as a cost of the instrument, where it is ours to bear."""
    note = f"Visit {visit.number}"
    if before and before.cost_line:
        _spend(
            visit,
            before.cost_line.kind,
            -before.cost_line.amount_minor,
            f"{note}, written up again",
            record,
            by,
        )
    kind = cost_kind_of(visit)
    amount = cost_of_time(record) if kind else 0
    return _spend(visit, kind, amount, note, record, by) if amount else None


def _spend(visit: CareVisit, kind: str, amount_minor: int, note: str, record: dict, by) -> CostLine:
    day = record["visited_on"]
    return add_cost(
        instrument=visit.instrument, kind=kind, amount_minor=amount_minor, note=note, by=by, on=day
    )


def cost_kind_of(visit: CareVisit) -> str:
    """Empty where the customer pays for it, which is not told here. As it is judged on that day."""
    if visit.kind == VisitKind.TUNING:
        return CostKind.TUNING if visit.included else ""
    judgement = visit.call_back.judgements.first()
    is_guaranteed = judgement is not None and judgement.verdict in GUARANTEE_WORK
    return CostKind.GUARANTEE if is_guaranteed and visit.sale_id else CostKind.OTHER


def cost_of_time(record: dict) -> int:
    """Minutes at the piano and on the way, half a unit up; 0 while nobody has set a rate."""
    rate = BenchRate.objects.holding_for(record["visited_by"], on=record["visited_on"]).first()
    minutes = record.get("minutes", 0) + record.get("travel_minutes", 0)
    return round_half_up(Fraction(minutes * rate.per_hour_minor, 60)) if rate else 0


def _name(user) -> str:
    return user.get_full_name() or user.get_username()
