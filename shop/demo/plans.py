"""Stages in which two of the sales are paid: one of them late, one that waits for the bench."""

from dataclasses import dataclass
from datetime import date, timedelta

from shop.actions.payment_plans import agree_plan, reach_stage
from shop.demo.diary import Diary
from shop.demo.shop_at_work import ShopAtWork
from shop.models import PlanStage, Sale

AFTER_CONCERT = "after the spring concert"


@dataclass(frozen=True)
class Stage:
    """Pounds, due so many days ago (before today, minus: still to come), or by an event."""

    words: str
    pounds: int
    due: int | None = None
    event: str = ""


@dataclass(frozen=True)
class Plan:
    key: str
    agreed: int
    written: str
    stages: tuple[Stage, ...]
    reached: tuple[int, str] | None = None  # days ago, what shows it


PLANS = (
    Plan(
        "halden-1921",
        139,
        "Her letter of that day",
        (
            Stage("What she paid for the trial", 800, 139),
            Stage("First instalment", 500, 110),
            Stage("Second instalment", 500, 12),
            Stage("Last instalment", 500, -18),
        ),
    ),
    Plan(
        "wexcombe-1899",
        44,
        "The choir’s order form",
        (
            Stage("Deposit", 900, 44),
            Stage("Second payment", 400, event=AFTER_CONCERT),
            Stage("Balance", 600, event="when the action is regulated"),
        ),
        (16, "Their treasurer’s e-mail: the concert was the evening before"),
    ),
)


def tell_plans(shop: ShopAtWork, diary: Diary) -> None:
    for plan in PLANS:
        diary.on(plan.agreed, lambda on, plan=plan: agree(plan, shop, on))
        if plan.reached:
            diary.on(plan.reached[0], lambda on, plan=plan: reach(plan, shop, on))


def agree(plan: Plan, shop: ShopAtWork, on: date) -> None:
    rows = [
        {
            "words": stage.words,
            "amount_minor": stage.pounds * 100,
            "due_on": None if stage.due is None else on + timedelta(days=plan.agreed - stage.due),
            "event": stage.event,
        }
        for stage in plan.stages
    ]
    sale = the_sale(plan, shop)
    agree_plan(sale=sale, stages=rows, agreed_on=on, written=plan.written, by=shop.staff["selma"], on=on)


def reach(plan: Plan, shop: ShopAtWork, on: date) -> None:
    stage = PlanStage.objects.get(plan__sale=the_sale(plan, shop), event=AFTER_CONCERT)
    reach_stage(stage=stage, reached_on=on, shown_by=plan.reached[1], by=shop.staff["selma"], on=on)


def the_sale(plan: Plan, shop: ShopAtWork) -> Sale:
    return shop.instrument(plan.key).sales.get()
