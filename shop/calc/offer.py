"""The offer calculator: the most the shop may pay and still earn what it wants."""

from dataclasses import dataclass, replace
from decimal import Decimal

from shop.calc.margin import margin_scheme_vat_minor, vat_included_minor
from workorders.calc.money import round_half_up

ON_THE_MARGIN = ("margin", "margin_eu")
SCHEMES = (*ON_THE_MARGIN, "standard", "none", "sales_tax")


def profit_minor(
    purchase_minor: int, sale_minor: int, other_costs_minor: int, vat_rate: Decimal, scheme: str
) -> int:
    """What is left of a sale after purchase, other costs and the seller's own tax; negative is a loss.

    Costs are net of any tax the shop can reclaim; the purchase is from somebody who charges no VAT.

    - "margin", "margin_eu": the sale price includes VAT on the margin only (UK and EU second-hand schemes).
    - "standard": the sale price includes VAT on the whole of it.
    - "none": the shop charges no tax.
    - "sales_tax": the tax comes on top of the sale price and is passed on, so it changes nothing here.
    """
    if scheme not in SCHEMES:
        raise ValueError(f"There is no tax scheme “{scheme}”: use one of {', '.join(SCHEMES)}.")
    tax = 0
    if scheme in ON_THE_MARGIN:
        tax = margin_scheme_vat_minor(purchase_minor, sale_minor, vat_rate)
    elif scheme == "standard":
        tax = vat_included_minor(sale_minor, vat_rate)
    return sale_minor - purchase_minor - other_costs_minor - tax


def most_we_may_pay_minor(
    sale_minor: int, other_costs_minor: int, wanted_profit_minor: int, vat_rate: Decimal, scheme: str
) -> int:
    """The largest purchase price that still leaves the wanted profit; schemes as in `profit_minor`.

    Never negative: 0 also when not even a gift earns that much, which `profit_minor(0, ...)` tells apart.
    For the margin scheme at 20 % this is about sale - 1.2 x (costs + profit), exact to the minor unit.
    """
    if min(sale_minor, other_costs_minor) < 0:
        raise ValueError("Prices and costs cannot be negative.")
    if profit_minor(0, sale_minor, other_costs_minor, vat_rate, scheme) < wanted_profit_minor:
        return 0
    # Paying one unit more never raises the profit, so halving finds the highest price that is still enough.
    enough, too_much = 0, max(0, sale_minor - other_costs_minor - wanted_profit_minor) + 1
    while too_much - enough > 1:
        middle = (enough + too_much) // 2
        if profit_minor(middle, sale_minor, other_costs_minor, vat_rate, scheme) >= wanted_profit_minor:
            enough = middle
        else:
            too_much = middle
    return enough


TENTH = Decimal("0.1")


@dataclass(frozen=True)
class OfferFigures:
    """What an offer rests on: minor units, hours as Decimal, the tax rate as a share (Decimal("0.20"))."""

    sale_minor: int
    hours: Decimal = Decimal(0)
    rate_minor: int = 0
    parts_minor: int = 0
    transport_minor: int = 0
    registration_minor: int = 0
    tuning_minor: int = 0
    storage_minor: int = 0
    delivery_minor: int = 0
    reserve_minor: int = 0
    profit_minor: int = 0
    vat_rate: Decimal = Decimal(0)
    scheme: str = "none"

    @property
    def work_minor(self) -> int:
        """Hours x rate, rounded half up once (CHECKS section 13: 1.75 h x 38.50 is 67.38)."""
        return round_half_up(self.hours * self.rate_minor)

    @property
    def other_costs_minor(self) -> int:
        costs = (
            *(self.work_minor, self.parts_minor, self.transport_minor, self.registration_minor),
            *(self.tuning_minor, self.storage_minor, self.delivery_minor, self.reserve_minor),
        )
        return sum(costs)

    @property
    def most_minor(self) -> int:
        return most_we_may_pay_minor(
            self.sale_minor, self.other_costs_minor, self.profit_minor, self.vat_rate, self.scheme
        )

    @property
    def short_by_minor(self) -> int:
        """What is missing of the wanted profit even if the piano were a gift; 0 where nothing is."""
        as_a_gift = profit_minor(0, self.sale_minor, self.other_costs_minor, self.vat_rate, self.scheme)
        return max(0, self.profit_minor - as_a_gift)

    @property
    def tax_minor(self) -> int:
        """The seller's own tax, if the most is paid."""
        before = self.sale_minor - self.most_minor - self.other_costs_minor
        return before - profit_minor(
            self.most_minor, self.sale_minor, self.other_costs_minor, self.vat_rate, self.scheme
        )


@dataclass(frozen=True)
class Swing:
    """One figure a tenth lower and a tenth higher, and the most we may pay then."""

    name: str
    lower: int | Decimal
    higher: int | Decimal
    most_if_lower_minor: int
    most_if_higher_minor: int

    @property
    def width_minor(self) -> int:
        return abs(self.most_if_higher_minor - self.most_if_lower_minor)


SWUNG = (
    *("sale_minor", "hours", "rate_minor", "parts_minor", "transport_minor", "registration_minor"),
    *("tuning_minor", "storage_minor", "delivery_minor", "reserve_minor", "profit_minor"),
)


def how_it_moves(figures: OfferFigures, *, share: Decimal = TENTH) -> list[Swing]:
    """Each figure alone moved by `share` down and up, all others kept; the one that matters most first.

    Figures that are 0 are left out, a tenth of nothing being nothing. Money is rounded half up.
    """
    swings = []
    for name in SWUNG:
        value = getattr(figures, name)
        if value:
            lower, higher = _moved(value, 1 - share), _moved(value, 1 + share)
            low, high = (replace(figures, **{name: moved}).most_minor for moved in (lower, higher))
            swings.append(Swing(name, lower, higher, low, high))
    return sorted(swings, key=lambda swing: -swing.width_minor)


def _moved(value: int | Decimal, by: Decimal) -> int | Decimal:
    return round_half_up(value * by) if isinstance(value, int) else value * by
