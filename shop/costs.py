"""True cost, price floor and margin of instruments: sums of what is on file, in a fixed number of queries."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from django.utils import timezone

from instruments.models import Instrument
from instruments.models.together import alongside, asking
from shop.actions.stock_book import cost_of, shows_vat
from shop.calc.sale_tax import tax_on_sale, treatment_of
from shop.calc.true_costs import (
    KINDS,
    FloorTerms,
    Reserve,
    margin_percent,
    months_later,
    price_floor_minor,
    stays_in_our_places,
    still_to_come_minor,
    storage_minor,
)
from shop.cost_rows import OnFile, rows_on_file
from shop.models import Purchase, ShopProfile
from shop.states import TaxScheme
from shop.tax_rates import UnknownRate, tax_rate_on

UNTAXED = {TaxScheme.SALES_TAX, TaxScheme.NONE}


@dataclass(frozen=True)
class Terms:
    """What the shop reckons with, read once for many instruments; `rate` is None where none is known."""

    profile: ShopProfile
    rate: Decimal | None
    on: date

    @property
    def reserve(self) -> Reserve:
        return Reserve(self.profile.reserve_percent, self.profile.reserve_fixed_minor)


@dataclass(frozen=True)
class TrueCost:
    """One instrument's money on a day. `spent` and `to_come` are sums by the kinds of `KINDS`."""

    on_file: OnFile
    terms: Terms
    spent: Mapping[str, int]
    to_come: Mapping[str, int]
    tax_minor: int | None

    @property
    def purchase_minor(self) -> int | None:
        return cost_of(self.on_file.purchase)

    @property
    def lines_minor(self) -> int:
        return sum(self.on_file.lines.values())

    @property
    def labour_minor(self) -> int:
        return self.spent["labour"]

    @property
    def parts_minor(self) -> int:
        return self.spent["parts"]

    @property
    def other_minor(self) -> int:
        """Whatever is neither purchase, labour nor parts, so that a row adds up to its true cost."""
        return self.total_minor - (self.purchase_minor or 0) - self.labour_minor - self.parts_minor

    @property
    def minutes(self) -> int:
        return self.on_file.bench.minutes

    @property
    def is_sold(self) -> bool:
        return self.on_file.sale is not None

    @property
    def price_minor(self) -> int | None:
        """What it was sold at, or what is asked."""
        file = self.on_file
        return file.sale.price_minor if file.sale else file.price.amount_minor if file.price else None

    @property
    def tax_words(self) -> str:
        return self.terms.profile.get_tax_scheme_display()

    @property
    def total_minor(self) -> int:
        """Spent until today."""
        return sum(self.spent.values())

    @property
    def to_come_minor(self) -> int:
        return sum(self.to_come.values())

    @property
    def expected_minor(self) -> int:
        return self.total_minor + self.to_come_minor

    @property
    def margin_minor(self) -> int | None:
        """What is left of the price after tax, what was spent and what is still to come; unknown while price
        or purchase is."""
        if self.price_minor is None or self.purchase_minor is None:
            return None
        return self.price_minor - (self.tax_minor or 0) - self.expected_minor

    @property
    def margin_percent(self) -> Decimal | None:
        return None if self.margin_minor is None else margin_percent(self.margin_minor, self.price_minor)

    @property
    def wanted_minor(self) -> int:
        return self.on_file.estimated.get("profit", self.terms.profile.wanted_profit_minor)

    @property
    def floor_minor(self) -> int | None:
        """The lowest price that covers cost, tax, reserve and wanted profit; unknown without a purchase."""
        if self.purchase_minor is None or self.terms.rate is None:
            return None
        others = self.expected_minor - self.purchase_minor
        others -= self.spent["reserve"] + self.to_come["reserve"]  # the floor reckons its own
        return price_floor_minor(
            FloorTerms(
                purchase_minor=self.purchase_minor,
                other_minor=max(0, others),
                wanted_minor=self.wanted_minor,
                treatment=treatment_at(self.terms, self.on_file.purchase),
                rate=self.terms.rate,
                reserve=self.terms.reserve,
            )
        )

    @property
    def is_below_floor(self) -> bool:
        floor, price = self.floor_minor, self.price_minor
        return not self.is_sold and floor is not None and price is not None and price < floor

    @property
    def rows(self) -> list[tuple[str, int | None, int, int]]:
        """Words, estimated, spent and still to come of each kind that has any."""
        return [
            (words, self.on_file.estimated.get(kind), self.spent[kind], self.to_come[kind])
            for kind, words in KINDS.items()
            if self.spent[kind]
            or self.to_come[kind]
            or self.on_file.estimated.get(kind)
            or kind == "purchase"
        ]


@asking
def true_cost(instrument: Instrument, *, on: date | None = None):
    return (yield from true_costs.later([instrument], on=on))[instrument.pk]


@asking
def true_costs(instruments: Iterable[Instrument], *, on: date | None = None):
    """`TrueCost` by the keys of the instruments; in one query however many they are."""
    keys, day = [instrument.pk for instrument in instruments], on or timezone.localdate()
    terms, files = yield from alongside(terms_on.later(day), rows_on_file.later(keys, day))
    return {key: _reckoned(file, terms) for key, file in files.items()}


@asking
def terms_on(day: date):
    profile = ShopProfile.current()
    try:
        rate = yield from tax_rate_on.later(profile, day)
    except UnknownRate:
        rate = None
    return Terms(profile, rate, day)


def treatment_at(terms: Terms, purchase: Purchase | None) -> str:
    scheme, shown = terms.profile.tax_scheme, shows_vat(purchase)
    return treatment_of(scheme, cost_minor=cost_of(purchase), purchase_shows_vat=shown)[0]


def _reckoned(file: OnFile, terms: Terms) -> TrueCost:
    price = file.sale.price_minor if file.sale else file.price.amount_minor if file.price else None
    spent = {
        "purchase": cost_of(file.purchase) or 0,
        "labour": file.bench.labour_minor,
        "storage": _storage(file, terms) + file.lines.get("storage", 0),
        "parts": file.bench.parts_minor,
        "outwork": file.bench.outside_minor + file.lines.get("outwork", 0),
        "guarantee": guarantee_minor(file),
        "reserve": _reserve_held(file, terms),
    }
    spent = {kind: spent.get(kind, file.lines.get(kind, 0)) for kind in KINDS}
    to_come = dict.fromkeys(KINDS, 0)
    to_come |= {"labour": file.labour_to_come_minor, "outwork": file.bench.outside_to_come_minor}
    if not file.sale:
        for kind in KINDS:
            to_come[kind] += still_to_come_minor(
                kind, estimated_minor=file.estimated.get(kind), actual_minor=spent[kind]
            )
        to_come["reserve"] = terms.reserve.of(price) if price is not None else 0
    return TrueCost(file, terms, spent, to_come, _tax(file, terms, price))


def _tax(file: OnFile, terms: Terms, price: int | None) -> int | None:
    """As the books have it for a sale, else by the scheme and the rate of the day; None for none."""
    if file.book_line:
        return None if file.book_line.treatment in UNTAXED else file.book_line.tax_minor
    treatment = treatment_at(terms, file.purchase)
    if price is None or terms.rate is None or treatment in UNTAXED:
        return None
    cost = cost_of(file.purchase)
    return tax_on_sale(treatment, price_minor=price, cost_minor=cost, rate=terms.rate).tax_minor


def stays_of(file: OnFile, terms: Terms) -> list:
    until = min(file.sale.sold_on, terms.on) if file.sale else terms.on
    return stays_in_our_places(file.moves, until)


def _storage(file: OnFile, terms: Terms) -> int:
    profile = terms.profile
    return storage_minor(
        stays_of(file, terms), week_minor=profile.storage_week_minor, free_weeks=profile.storage_free_weeks
    )


def guarantee_minor(file: OnFile) -> int:
    """Visits and costs entered as such, and the bench's work on call-backs under the guarantee."""
    return file.lines.get("guarantee", 0) + file.guarantee_bench_minor


def _reserve_held(file: OnFile, terms: Terms) -> int:
    """From the sale to the end of the guarantee, less what was spent under it; then it is released."""
    if not file.sale or terms.on > months_later(file.sale.sold_on, terms.profile.guarantee_months):
        return 0
    return max(0, terms.reserve.of(file.sale.price_minor) - guarantee_minor(file))
