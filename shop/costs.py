"""True cost and margin of an instrument: sums of purchase, cost lines and the bench."""

from dataclasses import dataclass
from datetime import date

from django.db.models import QuerySet
from django.utils import timezone

from instruments.models import Instrument
from shop.actions.stock_book import book_line_of, tax_of_sale
from shop.models import Sale, ShopProfile
from shop.states import TaxScheme
from shop.tax_rates import UnknownRate
from workorders.costs import bench_cost_of

UNTAXED = {TaxScheme.SALES_TAX, TaxScheme.NONE}


@dataclass(frozen=True)
class TrueCost:
    purchase_minor: int | None
    lines_minor: int
    labour_minor: int
    parts_minor: int
    minutes: int
    price_minor: int | None
    is_sold: bool
    tax_minor: int | None
    tax_words: str

    @property
    def total_minor(self) -> int:
        return (self.purchase_minor or 0) + self.lines_minor + self.labour_minor + self.parts_minor

    @property
    def margin_minor(self) -> int | None:
        """What is left of the price after cost and tax; unknown while price or purchase is."""
        if self.price_minor is None or self.purchase_minor is None:
            return None
        return self.price_minor - (self.tax_minor or 0) - self.total_minor


def true_cost(instrument: Instrument) -> TrueCost:
    purchase = instrument.purchases.first()
    sale = instrument.sales.filter(promise__closed_at__isnull=True).first()
    asked = instrument.asking_prices.first()
    price = sale.price_minor if sale else (asked.amount_minor if asked else None)
    paid = purchase.price_minor if purchase else None
    bench = bench_cost_of(instrument, without=work_for_owners(instrument))
    profile = ShopProfile.current()
    return TrueCost(
        purchase_minor=paid,
        lines_minor=sum(instrument.cost_lines.values_list("amount_minor", flat=True)),
        labour_minor=bench.labour_minor,
        parts_minor=bench.parts_minor,
        minutes=bench.minutes,
        price_minor=price,
        is_sold=sale is not None,
        tax_minor=tax_in(instrument, price, sale=sale),
        tax_words=profile.get_tax_scheme_display(),
    )


def work_for_owners(instrument: Instrument) -> QuerySet:
    """Orders done for a customer on their own piano, perhaps one we sold them: no cost of our stock."""
    return instrument.work_orders.filter(commission__taken_in__isnull=False).values("pk")


def tax_in(
    instrument: Instrument, price_minor: int | None, *, sale: Sale | None = None, on: date | None = None
) -> int | None:
    """The tax that the price holds: of a sale as the books have it, else by the scheme and rate of today.

    What comes on top of the price takes nothing off it.
    """
    line = book_line_of(sale) if sale else None
    if line:
        return None if line.treatment in UNTAXED else line.tax_minor
    if price_minor is None:
        return None
    try:
        tax, _, _ = tax_of_sale(instrument, price_minor, on=on or timezone.localdate())
    except UnknownRate:
        return None
    return None if tax.treatment in UNTAXED else tax.tax_minor
