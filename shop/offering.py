"""Instruments that could be offered to somebody today."""

from django.db.models import Exists, OuterRef, QuerySet, Subquery

from instruments.models import Instrument
from shop.models import AskingPrice, Promise
from shop.ownership import without_customers_own
from shop.sale_ending_problems import handed_back


def instruments_to_offer() -> QuerySet:
    """Promised to nobody, each with `price_now`, the newest asking price in minor units or None."""
    newest = AskingPrice.objects.filter(instrument=OuterRef("pk")).order_by("-id").values("amount_minor")
    promised = Promise.objects.open().filter(instrument=OuterRef("pk"))
    free = without_customers_own(Instrument.objects.filter(~Exists(promised)))
    free = free.exclude(Exists(handed_back(Instrument.objects.filter(pk=OuterRef("pk")))))
    return free.annotate(price_now=Subquery(newest[:1]))
