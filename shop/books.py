"""Sums over the whole shop."""

from django.db.models import F, IntegerField, OuterRef, QuerySet, Subquery, Sum, Value
from django.db.models.functions import Coalesce

from instruments.models import Instrument
from shop.models import CreditEntry, Payment, Person, Promise
from shop.ownership import stock_only
from shop.states import PromiseKind


def _sum_of(rows: QuerySet, field: str, outer: str) -> Coalesce:
    """A correlated sum that is 0 where there are no rows."""
    summed = rows.filter(**{outer: OuterRef("pk")}).order_by().values(outer).annotate(sum=Sum(field))
    return Coalesce(Subquery(summed.values("sum"), output_field=IntegerField()), Value(0))


def stock_at_cost() -> QuerySet:
    """The shop's instruments, newest first; `shop.costs.true_costs` says what each has cost."""
    return stock_only(Instrument.objects).order_by("-id")


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
