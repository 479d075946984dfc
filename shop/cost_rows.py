"""The rows that the cost of instruments is summed from, for many of them in a fixed number of queries."""

from collections import defaultdict
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from datetime import date

from django.db.models import F, OuterRef, Q, QuerySet, Subquery, Sum

from instruments.models import Move
from instruments.states import Place
from shop.care_states import GUARANTEE_WORK
from shop.models import (
    AskingPrice,
    BookLine,
    CallBackJudgement,
    CostEstimate,
    CostLine,
    OfferCalculation,
    Purchase,
    Sale,
)
from shop.states import EstimateKind, PromiseKind
from workorders.calc.money import round_half_up
from workorders.costs import BenchCost, bench_costs
from workorders.models import WorkOrder
from workorders.work_to_come import labour_to_come

OUR_PLACES = {Place.WORKSHOP, Place.SHOWROOM, Place.STORE}
OF_A_CALCULATION = ("parts", "transport", "registration", "tuning", "storage", "delivery")


@dataclass(frozen=True)
class OnFile:
    """The rows of one instrument that its cost is summed from."""

    purchase: Purchase | None = None
    lines: Mapping[str, int] = field(default_factory=dict)
    bench: BenchCost = field(default_factory=BenchCost)
    guarantee_bench_minor: int = 0  # work on call-backs under the guarantee, in no other sum
    moves: tuple[tuple[date, bool], ...] = ()
    sale: Sale | None = None
    book_line: BookLine | None = None
    price: AskingPrice | None = None
    estimated: Mapping[str, int] = field(default_factory=dict)
    labour_to_come_minor: int = 0


def work_for_owners(keys: Collection[int]) -> QuerySet:
    """Orders done for customers on their own piano, perhaps one we sold them: no cost of our stock."""
    orders = WorkOrder.objects.filter(instrument__in=keys, commission__taken_in__isnull=False)
    return orders.order_by().values("pk")


def work_under_guarantee(keys: Collection[int]) -> QuerySet:
    """Orders that call-backs on a sale became, judged as they stand to be guaranteed or owed by law."""
    judged = CallBackJudgement.objects.filter(call_back=OuterRef("call_back")).order_by("-id")
    orders = WorkOrder.objects.filter(
        instrument__in=keys, call_back__promise__kind=PromiseKind.SALE, commission__isnull=True
    ).annotate(verdict=Subquery(judged.values("verdict")[:1]))
    return orders.filter(verdict__in=GUARANTEE_WORK).order_by().values("pk")


def rows_on_file(keys: list[int], on: date) -> dict[int, OnFile]:
    """By the keys of the instruments, in a fixed number of queries."""
    purchases = Purchase.objects.filter(instrument__in=keys, corrected_by__isnull=True)
    purchase_of = {each.instrument_id: each for each in purchases}
    theirs = work_for_owners(keys)
    under_guarantee = work_under_guarantee(keys)
    apart = WorkOrder.objects.filter(Q(pk__in=theirs) | Q(pk__in=under_guarantee)).order_by().values("pk")
    benches = bench_costs(keys, without=apart)
    guarantees = bench_costs(keys, only=under_guarantee)
    lines, moves = _cost_lines(keys), _moves(keys)
    sales = Sale.objects.filter(instrument__in=keys, promise__closed_at__isnull=True)
    sale_of = {each.instrument_id: each for each in sales}
    book_lines = BookLine.objects.standing().filter(sale__in=sale_of.values())
    line_of = {each.instrument_id: each for each in book_lines}
    prices = AskingPrice.objects.filter(instrument__in=keys).order_by("id")
    price_of = {each.instrument_id: each for each in prices}
    estimates, to_come = _estimates(keys), labour_to_come(keys, on=on, without=theirs)
    return {
        key: OnFile(
            purchase=purchase_of.get(key),
            lines=lines[key],
            bench=benches[key],
            guarantee_bench_minor=guarantees[key].total_minor,
            moves=tuple(moves[key]),
            sale=sale_of.get(key),
            book_line=line_of.get(key),
            price=price_of.get(key),
            estimated=estimates[key],
            labour_to_come_minor=to_come.get(key, 0),
        )
        for key in keys
    }


def _cost_lines(keys: list[int]) -> dict[int, dict[str, int]]:
    found: dict[int, dict[str, int]] = defaultdict(dict)
    rows = CostLine.objects.filter(instrument__in=keys).order_by().values("instrument", "kind")
    for row in rows.annotate(sum=Sum("amount_minor")):
        found[row["instrument"]][row["kind"]] = row["sum"]
    return found


def _moves(keys: list[int]) -> dict[int, list[tuple[date, bool]]]:
    found = defaultdict(list)
    for move in Move.objects.filter(instrument__in=keys).order_by("moved_on", "id"):
        found[move.instrument_id].append((move.moved_on, move.place in OUR_PLACES))
    return found


def _estimates(keys: list[int]) -> dict[int, dict[str, int]]:
    """What somebody entered, of each kind the newest; under it the newest calculation of an offer."""
    found: dict[int, dict[str, int]] = defaultdict(dict)
    own = OfferCalculation.objects.filter(instrument__in=keys).annotate(whose=F("instrument"))
    of_leads = OfferCalculation.objects.filter(lead__instrument__in=keys).annotate(
        whose=F("lead__instrument")
    )
    for each in [*of_leads.order_by("id"), *own.order_by("id")]:
        found[each.whose] = _calculated(each)
    for row in CostEstimate.objects.filter(instrument__in=keys).order_by("id"):
        found[row.instrument_id][row.kind] = row.amount_minor
    return found


def _calculated(offer: OfferCalculation) -> dict[str, int]:
    amounts = {kind: getattr(offer, f"{kind}_minor") for kind in OF_A_CALCULATION}
    work = round_half_up(offer.hours * offer.rate_minor)
    return {
        kind: amount
        for kind, amount in (amounts | {"labour": work, "profit": offer.profit_minor}).items()
        if amount or kind == EstimateKind.PROFIT
    }
