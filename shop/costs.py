"""True cost and margin of an instrument: sums of purchase, cost lines and the bench."""

from dataclasses import dataclass

from instruments.models import Instrument
from shop.calc.margin import margin_scheme_vat_minor, vat_included_minor
from shop.models import ShopProfile
from shop.states import TaxScheme
from workorders.costs import bench_cost_of


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
    bench, profile = bench_cost_of(instrument), ShopProfile.current()
    return TrueCost(
        purchase_minor=paid,
        lines_minor=sum(instrument.cost_lines.values_list("amount_minor", flat=True)),
        labour_minor=bench.labour_minor,
        parts_minor=bench.parts_minor,
        minutes=bench.minutes,
        price_minor=price,
        is_sold=sale is not None,
        tax_minor=tax_on(profile, price, paid),
        tax_words=profile.get_tax_scheme_display(),
    )


def tax_on(profile: ShopProfile, price_minor: int | None, paid_minor: int | None) -> int | None:
    """The tax that the price holds by the scheme; what comes on top of it, or none, takes nothing off."""
    if price_minor is None:
        return None
    match profile.tax_scheme:
        case TaxScheme.MARGIN if paid_minor is not None:
            return margin_scheme_vat_minor(paid_minor, price_minor, profile.tax_rate)
        case TaxScheme.STANDARD:
            return vat_included_minor(price_minor, profile.tax_rate)
    return None
