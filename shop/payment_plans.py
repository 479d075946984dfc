"""In which stages a sale is paid, and how each stands by the ledger."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from functools import lru_cache

from django.db import connection
from django.db.models import Exists, F, OuterRef, QuerySet, Subquery, Sum
from django.db.models.functions import Coalesce
from django.urls import reverse

from instruments.models.together import asking, hand_on_each
from instruments.models.worded import OfOne, Worded
from instruments.problems import Blocker, Problem
from shop.calc.payment_plan import StageAgreed, StageStands, attributed, due_minor, late_minor, off_by_minor
from shop.models import CreditEntry, Payment, PaymentPlan, PlanStage, Promise, Sale
from shop.waiting_lines import MOST, Group, Waiting, day_words, named
from shop.waiting_sales import unsettled_sales
from workorders.currency import in_words

MOST_LOOKED_AT = 200
TO_PAY_AT_ONCE = timedelta(days=14)  # common practice, no source: how long “at once” is waited for


@dataclass(frozen=True)
class Row:
    stage: PlanStage
    stands: StageStands

    @property
    def when(self) -> str:
        if self.stage.due_on:
            return f"due {self.stage.due_on:%-d %B %Y}"
        if self.stands.due_on:
            return f"due since {self.stands.due_on:%-d %B %Y}: {self.stage.event}"
        return f"due {self.stage.event}"

    @property
    def state(self) -> str:
        if not self.stands.open_minor:
            return "paid"
        if self.stands.is_late:
            return "late"
        return "due today" if self.stands.is_due else "not due yet"

    @property
    def state_words(self) -> str:
        """With how much of it is still to come, where some of it is paid."""
        if not self.stands.paid_minor or not self.stands.open_minor:
            return self.state
        return f"{in_words(self.stands.open_minor)} of it still to pay, {self.state}"

    @property
    def waits_for_an_event(self) -> bool:
        return self.stands.due_on is None


@dataclass(frozen=True)
class PlanStanding:
    """The plan that holds, stage by stage, as of a day."""

    plan: PaymentPlan
    rows: tuple[Row, ...]

    @property
    def due_minor(self) -> int:
        return due_minor([row.stands for row in self.rows])

    @property
    def late_minor(self) -> int:
        return late_minor([row.stands for row in self.rows])

    @property
    def late_since(self) -> date | None:
        return min((row.stands.due_on for row in self.rows if row.stands.is_late), default=None)


def plan_of(sale: Sale, *, on: date) -> PlanStanding | None:
    return plans_of([sale], on=on).get(sale.pk)


@asking
def plans_of(sales: Iterable[Sale], *, on: date):
    """`PlanStanding` by the key of the sale, for those that have a plan; in a fixed number of queries."""
    sales = {sale.pk: sale.promise_id for sale in sales}
    found, stages, paid, used = yield (
        PaymentPlan.objects.filter(sale__in=sales).select_related("sale"),
        PlanStage.objects.filter(plan__sale__in=sales).select_related("reached"),
        _sums_of(Payment.objects.toward_price(), sales),
        _sums_of(CreditEntry.objects, sales),
    )
    hand_on_each(found, stages=(stages, "plan_id"))
    plans: dict[int, list[PaymentPlan]] = {}
    for plan in found:
        plans.setdefault(plan.sale_id, []).append(plan)
    paid, used = dict(paid), dict(used)
    paid = {promise: paid.get(promise, 0) - used.get(promise, 0) for promise in sales.values()}
    return {
        sale: _standing(versions, paid.get(versions[0].sale.promise_id, 0), on)
        for sale, versions in plans.items()
    }


def stage_words(standing: PlanStanding) -> tuple[str, ...]:
    """What is open of each stage, and when it is due."""
    return tuple(
        f"{row.stage.words}: {in_words(row.stands.open_minor)} {row.when}"
        + (", late" if row.stands.is_late else "")
        for row in standing.rows
        if row.stands.open_minor
    )


def _standing(versions: list[PaymentPlan], paid_minor: int, on: date) -> PlanStanding:
    """What has happened holds for every version that waits for the same, in the same words."""
    happened = {
        stage.event.casefold(): stage.reached.reached_on
        for plan in versions
        for stage in plan.stages.all()
        if hasattr(stage, "reached")
    }
    stages = list(versions[0].stages.all())
    agreed = [
        StageAgreed(stage.amount_minor, stage.due_on or happened.get(stage.event.casefold()))
        for stage in stages
    ]
    stood = attributed(agreed, paid_minor, on=on)
    return PlanStanding(versions[0], tuple(Row(*each) for each in zip(stages, stood, strict=True)))


def _sums_of(rows: QuerySet, sales: dict[int, int]) -> QuerySet:
    """Pairs of a promise of these sales and what these rows come to: the two sums of `value_in`."""
    of_them = rows.filter(promise__in=list(sales.values())).order_by().values_list("promise")
    return of_them.annotate(Sum("amount_minor"))


def plan_problems(sale: Sale, amounts: list[int]) -> list[Problem]:
    if not Promise.objects.open().filter(pk=sale.promise_id).exists():
        return [Blocker(f"{sale.number} does not stand any more.")]
    if not amounts:
        return [Blocker("A plan has at least one stage.")]
    price = sale.promise.price_minor
    off = off_by_minor(amounts, price)
    if not off:
        return []
    word = "more" if off > 0 else "less"
    return [
        Blocker(
            f"The stages come to {in_words(sum(amounts))}, {in_words(abs(off))} {word} than the price, "
            f"{in_words(price)}."
        )
    ]


@asking
def owed_late(on: date):
    """Stages whose day has passed, and old balances without stages; the longest late first."""
    planned, others = yield (
        _not_paid().select_related("instrument", "person")[:MOST_LOOKED_AT],
        OfOne(_owed_at_once(connection.vendor, on)),
    )
    standings = yield from plans_of.later(planned, on=on)
    late = sorted(
        [*_stages_late(planned, standings), *_balances_late(others)], key=lambda each: (each[2], each[0].pk)
    )
    lines = [
        Waiting(
            f"{in_words(amount)} for {named(sale.instrument)} from {sale.person}",
            f"{sale.number}, {words}{day_words(since, on)}",
            f"{sale.get_absolute_url()}#stages",
            is_late=True,
        )
        for sale, amount, since, words in late[:MOST]
    ]
    return [Group("Owed to us, late", lines, more_url=f"{reverse('shop:books')}#owed-to-us")] if lines else []


def _stages_late(sales: Iterable[Sale], standings: dict[int, PlanStanding]):
    for sale in sales:
        if (standing := standings.get(sale.pk)) and standing.late_minor:
            yield sale, standing.late_minor, standing.late_since, ""


def _balances_late(sales: Iterable[Sale]):
    for sale in sales:
        to_pay = sale.promise.price_minor - sale.held_minor
        yield sale, to_pay, late_at_once_since(sale), "no stages agreed, "


def late_at_once_since(sale: Sale) -> date:
    """The last day for a balance without stages, which is due at once."""
    return sale.sold_on + TO_PAY_AT_ONCE


def _not_paid() -> QuerySet[Sale]:
    """Sales that stand, have a plan, and are not paid in full; the oldest first."""
    return _unpaid(unsettled_sales().filter(Exists(_plans())).order_by("id"))


@lru_cache(maxsize=2)
def _owed_at_once(vendor: str, on: date) -> Worded:
    """Without stages all of it is due at once: late after a fortnight. The first of them, the oldest first.

    Their keys are put in order by themselves: what is read beside them would be carried along, of all.
    """
    old = unsettled_sales().filter(~Exists(_plans()), sold_on__lt=on - TO_PAY_AT_ONCE)
    first = _unpaid(old).order_by("sold_on", "id").values("pk")[:MOST]
    sales = _with_what_is_held(Sale.objects.filter(pk__in=first))
    return Worded.of(sales.select_related("instrument", "person", "promise").order_by("sold_on", "id"))


def _plans() -> QuerySet[PaymentPlan]:
    return PaymentPlan.objects.filter(sale=OuterRef("pk"))


def _unpaid(sales: QuerySet[Sale]) -> QuerySet[Sale]:
    """Of these; what else they are chosen by stands before it, as adding up is the dearest of it."""
    return _with_what_is_held(sales).filter(held_minor__lt=F("promise__price_minor"))


def _with_what_is_held(sales: QuerySet[Sale]) -> QuerySet[Sale]:
    return sales.annotate(
        held_minor=Coalesce(Subquery(_sum(Payment.objects.toward_price())), 0)
        - Coalesce(Subquery(_sum(CreditEntry.objects)), 0)
    )


def _sum(rows):
    of_promise = rows.filter(promise=OuterRef("promise")).order_by().values("promise")
    return of_promise.annotate(sum=Sum("amount_minor")).values("sum")
