"""True cost, storage, reserve and the price floor. Minor units in, minor units out.

What a costing sheet holds is common practice, no source; hours at a rate round half up once (CHECKS section
13). The floor turns `shop.calc.sale_tax` round, whose sources are named there; repairs reduce profit and
never the taxed margin (VATMARG02300). Not tax advice.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from shop.calc.sale_tax import SALES_TAX, tax_on_sale
from workorders.calc.money import round_half_up

KINDS = {
    "purchase": "Purchase",
    "transport": "Transport",
    "registration": "Registrations",
    "labour": "Bench, hours at their rate",
    "parts": "Parts",
    "outwork": "Outwork",
    "storage": "Storage",
    "delivery": "Delivery",
    "tuning": "Tunings",
    "guarantee": "Work under guarantee",
    "other": "Other",
    "reserve": "Reserve for the guarantee",
}
NEVER_GUESSED = frozenset({"purchase", "storage", "guarantee", "reserve", "labour", "outwork"})
FEW_UNITS = 6  # tax and reserve each round once, so that profit may step back by a unit


@dataclass(frozen=True)
class Reserve:
    """What is set aside for the guarantee: a share of the price, in per cent, and a fixed amount."""

    percent: Decimal = Decimal(0)
    fixed_minor: int = 0

    def of(self, price_minor: int) -> int:
        """Half a unit rounds up."""
        return self.fixed_minor + round_half_up(price_minor * self.percent / 100)


@dataclass(frozen=True)
class FloorTerms:
    """What a price has to cover. `purchase_minor` is what was paid to the seller, which alone counts for the
    margin scheme; `other_minor` everything else, the reserve left out; `rate` Decimal("0.20") for 20 %."""

    purchase_minor: int
    other_minor: int
    wanted_minor: int
    treatment: str
    rate: Decimal
    reserve: Reserve = Reserve()

    def profit(self, price_minor: int) -> int:
        """Price less tax, reserve and cost. Sales tax comes on top of the price and takes nothing off it."""
        tax = 0
        if self.treatment != SALES_TAX:
            tax = tax_on_sale(
                self.treatment, price_minor=price_minor, cost_minor=self.purchase_minor, rate=self.rate
            ).tax_minor
        return price_minor - tax - self.reserve.of(price_minor) - self.purchase_minor - self.other_minor


def price_floor_minor(terms: FloorTerms) -> int:
    """The lowest price that leaves the profit wanted after tax by the scheme and the reserve; never negative.

    ValueError for costs below 0, and for a tax and a reserve that together leave nothing of a price.
    """
    if min(terms.purchase_minor, terms.other_minor) < 0:
        raise ValueError("Costs cannot be negative.")
    if terms.profit(10**9) <= terms.profit(0):
        raise ValueError("Tax and reserve leave nothing of a price.")
    low, high = 0, 1
    while terms.profit(high) < terms.wanted_minor:
        low, high = high, high * 2
    while high - low > 1:
        middle = (low + high) // 2
        low, high = (low, middle) if terms.profit(middle) >= terms.wanted_minor else (middle, high)
    return next(
        price
        for price in range(max(0, high - FEW_UNITS), high + 1)
        if terms.profit(price) >= terms.wanted_minor
    )


def margin_percent(margin_minor: int, price_minor: int) -> Decimal | None:
    """The margin as a share of the price, in per cent to one decimal; None of no price."""
    return None if price_minor == 0 else (Decimal(margin_minor) * 100 / price_minor).quantize(Decimal("0.1"))


@dataclass(frozen=True)
class Stay:
    """From a day on in one place, to the day it left."""

    since: date
    until: date

    @property
    def days(self) -> int:
        return max(0, (self.until - self.since).days)


def stays_in_our_places(moves: Sequence[tuple[date, bool]], until: date) -> list[Stay]:
    """Where it stood in our own places: (day, whether the place is ours), oldest first, up to a day."""
    if not moves:
        return []
    ends = [day for day, _ in moves[1:]] + [until]
    return [
        Stay(since, min(end, until))
        for (since, is_ours), end in zip(moves, ends, strict=True)
        if is_ours and since < until
    ]


def storage_weeks(stays: Iterable[Stay], *, free_weeks: int) -> int:
    """Whole weeks stood, all stays together, less those that are free."""
    return max(0, sum(stay.days for stay in stays) // 7 - free_weeks)


def storage_minor(stays: Iterable[Stay], *, week_minor: int, free_weeks: int) -> int:
    """Whole weeks beyond the free ones, at the rate of a week. What is still to stand is not guessed."""
    return storage_weeks(stays, free_weeks=free_weeks) * week_minor


def still_to_come_minor(kind: str, *, estimated_minor: int | None, actual_minor: int) -> int:
    """What an estimate leaves over what has been spent; nothing where the open work itself tells it."""
    if kind in NEVER_GUESSED or estimated_minor is None:
        return 0
    return max(0, estimated_minor - actual_minor)


def months_later(day: date, months: int) -> date:
    """The same day of a later month; the last of a shorter one."""
    years, month = divmod(day.month - 1 + months, 12)
    for last in (day.day, 30, 29, 28):
        try:
            return date(day.year + years, month + 1, last)
        except ValueError:
            continue
    raise ValueError("There is no such month.")
