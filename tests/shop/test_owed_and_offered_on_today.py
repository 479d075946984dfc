"""What Today asks of money and of leads, so that a full shop costs no more, held against the plain way."""

from datetime import timedelta
from random import Random

import pytest
from django.db.models import Exists, F, OuterRef, Subquery, Sum
from django.db.models.functions import Coalesce

from shop.actions.ledger import take_payment
from shop.actions.payment_plans import agree_plan
from shop.actions.sale_notices import give_notice
from shop.models import CreditEntry, Lead, Payment, PaymentPlan, Sale
from shop.payment_plans import TO_PAY_AT_ONCE, _balances_late, _stages_late, owed_late, plans_of
from shop.states import LeadState
from shop.waiting_leads import LOOKED_AT, leads_waiting
from shop.waiting_lines import MOST
from shop.waiting_sales import unsettled_sales
from tests import make
from tests.make_sale import make_sale

pytestmark = [pytest.mark.django_db, pytest.mark.both]

ON = make.A_DAY


def leads_of_all(on) -> list[Lead]:
    order = {LeadState.VISIT: 0, LeadState.PHOTOS: 1, LeadState.OFFERED: 2, LeadState.NEW: 3}
    rows = Lead.objects.waiting().order_by("-id")[:LOOKED_AT]
    return sorted(rows, key=lambda lead: (order[lead.state], lead.visit_on or on))[:MOST]


@pytest.mark.parametrize(("seed", "count"), [(1, 0), (2, 5), (3, 20), (4, 70)])
def test_the_leads_on_today_are_the_first_of_all_in_their_order(seed, count):
    chance, day = Random(seed), ON + timedelta(days=3)
    for _ in range(count):
        lead = make.make_lead()
        lead.state = chance.choice([state for state in LeadState if state != LeadState.BOUGHT])
        lead.visit_on = chance.choice((None, ON, day, ON + timedelta(days=8)))
        if lead.state == LeadState.VISIT:
            lead.visit_on = lead.visit_on or day
        Lead.objects.filter(pk=lead.pk).update(**_as_such(lead))
    for on in (ON, day):
        lines = [line.url for line in leads_waiting(on).lines]
        assert lines == [lead.get_absolute_url() for lead in leads_of_all(on)]


def _as_such(lead: Lead) -> dict:
    columns = {"state": lead.state, "visit_on": lead.visit_on}
    if lead.state != LeadState.NEW:
        columns |= {"decision": "As we said on the telephone", "decided_on": ON}
    return columns | ({"offered_minor": 20_000} if lead.state == LeadState.OFFERED else {})


def owed_of_all(on) -> list[Sale]:
    """Every sale that is not settled is added up, with all that is read beside it; the longest late first."""
    planned = Exists(PaymentPlan.objects.filter(sale=OuterRef("pk")))
    unpaid = unsettled_sales().annotate(
        held_minor=Coalesce(Subquery(_sum(Payment.objects.toward_price())), 0)
        - Coalesce(Subquery(_sum(CreditEntry.objects)), 0)
    )
    unpaid = unpaid.filter(held_minor__lt=F("promise__price_minor")).order_by("id")
    old = unpaid.filter(~planned, sold_on__lt=on - TO_PAY_AT_ONCE).select_related("promise")
    with_stages = list(unpaid.filter(planned))
    late = [*_stages_late(with_stages, plans_of(with_stages, on=on)), *_balances_late(old)]
    return [sale for sale, *_ in sorted(late, key=lambda each: (each[2], each[0].pk))[:MOST]]


def _sum(rows):
    of_promise = rows.filter(promise=OuterRef("promise")).order_by().values("promise")
    return of_promise.annotate(sum=Sum("amount_minor")).values("sum")


def sales_of(chance: Random, *, count: int) -> None:
    by = make.somebody()
    for _ in range(count):
        sold_on = ON - timedelta(days=chance.randrange(60))
        sale = make_sale(paid=chance.choice((0, 0, 30_000, 90_000)), on=sold_on)
        open_minor = 90_000 - sum(sale.promise.payments.values_list("amount_minor", flat=True))
        if chance.random() < 0.3:
            first = {"words": "First", "amount_minor": 30_000, "due_on": sold_on + timedelta(days=2)}
            last = {"words": "Last", "amount_minor": 60_000, "due_on": sold_on + timedelta(days=40)}
            stages = [each | {"event": ""} for each in (first, last)]
            agree_plan(sale=sale, stages=stages, agreed_on=sold_on, written="A letter", by=by, on=sold_on)
        if open_minor and chance.random() < 0.3:
            part = chance.choice((open_minor, 10_000))
            take_payment(promise=sale.promise, amount_minor=part, method="card", by=by, on=ON)
        if chance.random() < 0.15:
            give_notice(sale=sale, kind="goodwill", told_on=ON, by=by)


@pytest.mark.parametrize(("seed", "count"), [(1, 2), (2, 8), (3, 30)])
def test_what_is_owed_late_on_today_is_what_adding_up_every_sale_finds(seed, count):
    sales_of(Random(seed), count=count)
    for on in (ON, ON + timedelta(days=15), ON + timedelta(days=90)):
        lines = [line.url for group in owed_late(on) for line in group.lines]
        assert lines == [f"{sale.get_absolute_url()}#stages" for sale in owed_of_all(on)]
