"""Stages of payment for a sale: agreed, changed in writing as a new version, and reached."""

from collections.abc import Mapping, Sequence
from datetime import date

from django.db import transaction

from instruments.problems import Refused, refuse_if_blocked
from shop.actions.ledger import lock_person
from shop.models import PaymentPlan, PlanStage, Promise, Sale, StageReached
from shop.payment_plans import plan_problems


@transaction.atomic
def agree_plan(
    *,
    sale: Sale,
    stages: Sequence[Mapping],
    agreed_on: date,
    written: str,
    why: str = "",
    version: int | None = None,
    by,
    on: date,
) -> PaymentPlan:
    """The next version of the plan; `stages` are fields of PlanStage, and together they are the price.

    `version` is the one that whoever agreed it had in view; another may have come in between.
    """
    lock_person(sale.person)
    following = next_version(sale)
    if version is not None and version != following:
        raise Refused("Somebody agreed on other stages a moment ago. Read them before you change them again.")
    if agreed_on > on:
        raise Refused("They cannot have agreed to it on a day still to come.")
    if following > 1 and not why.strip():
        raise Refused("Say why the plan is changed.")
    refuse_if_blocked(plan_problems(sale, [stage["amount_minor"] for stage in stages]))
    plan = PaymentPlan.objects.create(
        sale=sale,
        version=following,
        agreed_on=agreed_on,
        written=written.strip(),
        why=why.strip() if following > 1 else "",
        recorded_by=by,
    )
    for position, stage in enumerate(stages, start=1):
        PlanStage.objects.create(plan=plan, position=position, **stage)
    return plan


@transaction.atomic
def reach_stage(*, stage: PlanStage, reached_on: date, shown_by: str, by, on: date) -> StageReached:
    """Write down that what a stage waits for has happened; from that day on its sum is due."""
    sale = stage.plan.sale
    lock_person(sale.person)
    if not Promise.objects.open().filter(pk=sale.promise_id).exists():
        raise Refused(f"{sale.number} has ended: nothing of its stages becomes due any more.")
    if stage.due_on:
        raise Refused("This stage is due on its day, whatever happens.")
    if stage.plan.version != next_version(sale) - 1:
        raise Refused("The plan was changed since; its newest version holds.")
    if StageReached.objects.filter(stage=stage).exists():
        raise Refused("That it happened is written down already.")
    if reached_on > on:
        raise Refused("That day is still to come.")
    return StageReached.objects.create(
        stage=stage, reached_on=reached_on, shown_by=shown_by.strip(), recorded_by=by
    )


def next_version(sale: Sale) -> int:
    return (PaymentPlan.objects.filter(sale=sale).values_list("version", flat=True).first() or 0) + 1
