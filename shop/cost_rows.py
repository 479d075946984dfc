"""The rows that the cost of instruments is summed from, for many of them in a fixed number of queries."""

from collections import defaultdict
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from datetime import date

from django.db.models import F, OuterRef, Q, QuerySet, Subquery, Sum

from instruments.models import Move
from instruments.models.together import alongside, asking
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


@asking
def rows_on_file(keys: list[int], on: date):
    """`OnFile` by the keys of the instruments, in one query."""
    theirs = work_for_owners(keys)
    under_guarantee = work_under_guarantee(keys)
    apart = WorkOrder.objects.filter(Q(pk__in=theirs) | Q(pk__in=under_guarantee), instrument__in=keys)
    apart = apart.order_by().values("pk")
    sales = Sale.objects.filter(instrument__in=keys, promise__closed_at__isnull=True)
    of_sales = BookLine.objects.standing().filter(
        sale__instrument__in=keys, sale__promise__closed_at__isnull=True
    )
    purchase_of, sale_of, line_of, price_of, *sums = yield from alongside(
        _by_instrument(Purchase.objects.filter(instrument__in=keys, corrected_by__isnull=True)),
        _by_instrument(sales),
        _by_instrument(of_sales),
        _by_instrument(AskingPrice.objects.filter(instrument__in=keys).order_by("id")),
        bench_costs.later(keys, without=apart),
        bench_costs.later(keys, only=under_guarantee),
        _cost_lines(keys),
        _moves(keys),
        _estimates(keys),
        labour_to_come.later(keys, on=on, without=theirs),
    )
    benches, guarantees, lines, moves, estimates, to_come = sums
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


def _by_instrument(rows: QuerySet):
    (rows,) = yield (rows,)
    return {each.instrument_id: each for each in rows}


def _cost_lines(keys: list[int]):
    found: dict[int, dict[str, int]] = defaultdict(dict)
    rows = CostLine.objects.filter(instrument__in=keys).order_by().values("instrument", "kind")
    (rows,) = yield (rows.annotate(sum=Sum("amount_minor")),)
    for row in rows:
        found[row["instrument"]][row["kind"]] = row["sum"]
    return found


def _moves(keys: list[int]):
    found: dict[int, list[tuple[date, bool]]] = defaultdict(list)
    (moves,) = yield (Move.objects.filter(instrument__in=keys).order_by("moved_on", "id"),)
    for move in moves:
        found[move.instrument_id].append((move.moved_on, move.place in OUR_PLACES))
    return found


def _estimates(keys: list[int]):
    """What somebody entered, of each kind the newest; under it the newest calculation of an offer."""
    found: dict[int, dict[str, int]] = defaultdict(dict)
    own = OfferCalculation.objects.filter(instrument__in=keys).annotate(whose=F("instrument"))
    of_leads = OfferCalculation.objects.filter(lead__instrument__in=keys).annotate(
        whose=F("lead__instrument")
    )
    entered = CostEstimate.objects.filter(instrument__in=keys).order_by("id")
    of_leads, own, entered = yield of_leads.order_by("id"), own.order_by("id"), entered
    for each in [*of_leads, *own]:
        found[each.whose] = _calculated(each)
    for row in entered:
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
