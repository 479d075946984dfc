"""What a call-back has cost: its work order at the bench, and the visits made for it."""

from django.db.models import Sum

from shop.care_states import GUARANTEE_WORK
from shop.models import CallBack, CostLine
from shop.states import PromiseKind
from workorders.costs import outside_jobs_costed
from workorders.models import PartUsed, TimeSpent


def is_guarantee_work(call_back: CallBack) -> bool:
    """Of a sale, and judged as it stands to be guaranteed or owed by law (see `cost_rows`)."""
    judgement = call_back.judgements.first()
    is_ours = judgement is not None and judgement.verdict in GUARANTEE_WORK
    return is_ours and call_back.promise.kind == PromiseKind.SALE


def cost_of_call_back(call_back: CallBack) -> int:
    """Minor units, so far."""
    visits = CostLine.objects.filter(
        visit_record__visit__call_back=call_back, visit_record__corrected_by__isnull=True
    )
    total = _sum(visits, "amount_minor")
    if call_back.order_id is None:
        return total
    total += _sum(TimeSpent.objects.filter(item__order=call_back.order_id), "cost_minor")
    total += _sum(PartUsed.objects.filter(item__order=call_back.order_id), "cost_minor")
    return total + _sum(outside_jobs_costed().filter(order=call_back.order_id), "billed_minor")


def _sum(rows, name: str) -> int:
    return rows.order_by().aggregate(sum=Sum(name))["sum"] or 0
