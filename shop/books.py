"""Sums over the whole shop, each in one query."""

from django.db.models import F, IntegerField, OuterRef, QuerySet, Subquery, Sum, Value
from django.db.models.functions import Coalesce

from instruments.models import Instrument
from shop.models import AskingPrice, CostLine, CreditEntry, Payment, Person, Promise, Purchase, Sale
from shop.ownership import stock_only
from shop.states import PromiseKind
from workorders.models import PartUsed, TimeSpent

# Not what was done for a customer on their own piano, perhaps one we sold them.
OUR_OWN_WORK = {"item__order__commission__taken_in__isnull": True}


def _sum_of(rows: QuerySet, field: str, outer: str) -> Coalesce:
    """A correlated sum that is 0 where there are no rows."""
    summed = rows.filter(**{outer: OuterRef("pk")}).order_by().values(outer).annotate(sum=Sum(field))
    return Coalesce(Subquery(summed.values("sum"), output_field=IntegerField()), Value(0))


def stock_at_cost() -> QuerySet:
    """The shop's instruments with purchase, costs, bench, price asked and price sold, newest first."""
    newest_purchase = Purchase.objects.filter(instrument=OuterRef("pk")).values("price_minor")[:1]
    newest_price = AskingPrice.objects.filter(instrument=OuterRef("pk")).values("amount_minor")[:1]
    standing_sale = Sale.objects.filter(instrument=OuterRef("pk"), promise__closed_at__isnull=True)
    times, parts = (model.objects.filter(**OUR_OWN_WORK) for model in (TimeSpent, PartUsed))
    return (
        stock_only(Instrument.objects)
        .annotate(
            paid_minor=Subquery(newest_purchase),
            lines_minor=_sum_of(CostLine.objects, "amount_minor", "instrument"),
            labour_minor=_sum_of(times, "cost_minor", "item__order__instrument"),
            parts_minor=_sum_of(parts, "cost_minor", "item__order__instrument"),
            asked_minor=Subquery(newest_price),
            sold_minor=Subquery(standing_sale.values("price_minor")[:1]),
        )
        .annotate(
            cost_minor=Coalesce(F("paid_minor"), Value(0))
            + F("lines_minor")
            + F("labour_minor")
            + F("parts_minor")
        )
        .order_by("-id")
    )


def owed_to_customers() -> QuerySet:
    """Persons with credit, the most first."""
    return (
        Person.objects.annotate(credit_minor=_sum_of(CreditEntry.objects, "amount_minor", "person"))
        .filter(credit_minor__gt=0)
        .order_by("-credit_minor")[:100]
    )


def owed_to_us() -> QuerySet:
    """Sales not paid in full."""
    return (
        Promise.objects.open()
        .filter(kind=PromiseKind.SALE)
        .annotate(
            paid_minor=_sum_of(Payment.objects.toward_price(), "amount_minor", "promise")
            - _sum_of(CreditEntry.objects, "amount_minor", "promise")
        )
        .annotate(to_pay_minor=F("price_minor") - F("paid_minor"))
        .filter(to_pay_minor__gt=0)
        .select_related("instrument", "person", "sale")
        .order_by("-to_pay_minor")[:100]
    )
