"""The margin scheme and its neighbours: what tax lies in a price. Minor units in, minor units out.

Sources: SI 1995/1268 arts 2, 12, 13; gov.uk "VAT margin schemes"; VATMARG02300 (repairs never reduce the
margin); VATREC12030 (half a penny goes up); EU: Directive 2006/112/EC art 315. Check the law in force; this
is not tax advice.
"""

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from instruments.calc.edtf import bounds, is_hedged
from instruments.calc.exact import exact
from workorders.calc.money import round_half_up

ANTIQUE_YEARS = 100  # "more than": SI 1995/1268 art 2
GLOBAL_LIMIT_MINOR = 500_00  # art 13: items bought for more stay out
KEEP_YEARS = 6

SCHEME_WORDING = {  # for invoices, gov.uk; the sales side from memory
    "second-hand": "margin scheme - second hand goods",
    "antique": "margin scheme - collectors' items and antiques",
}


def margin_scheme_vat_minor(purchase_minor: int, sale_minor: int, vat_rate: Decimal) -> int:
    """VAT in the margin: (sale - purchase) x rate / (1 + rate), rounded half up once; 0 without a profit.

    Purchase is the price paid to the seller and nothing else: repairs, parts and transport by others do not
    reduce the margin, and a loss is never set against another item. `vat_rate` is Decimal("0.20") for 20 %.
    """
    _check_amounts(purchase_minor, sale_minor)
    return vat_included_minor(max(0, sale_minor - purchase_minor), vat_rate)


def vat_included_minor(gross_minor: int, vat_rate: Decimal) -> int:
    """VAT in a price that includes it, as in a sale outside the scheme: rate / (1 + rate) of it, half up."""
    _check_amounts(gross_minor)
    rate = _checked_rate(vat_rate)
    return round_half_up(gross_minor * rate / (1 + rate))


def hire_vat_minor(fee_minor: int, vat_rate: Decimal) -> int:
    """VAT in a hire or trial fee that includes it, in full: art 12(4) keeps letting out of the scheme."""
    return vat_included_minor(fee_minor, vat_rate)


def sales_tax_minor(price_minor: int, tax_rate: Decimal) -> int:
    """Tax added on top of a price that does not include it, half up (US practice varies by state)."""
    _check_amounts(price_minor)
    return round_half_up(price_minor * _checked_rate(tax_rate))


@dataclass(frozen=True, slots=True)
class MarginSale:
    """One sale under the scheme as it stands in the stock book and the VAT return; checks itself."""

    purchase_minor: int
    sale_minor: int
    margin_minor: int
    vat_minor: int
    net_sale_minor: int  # box 6: the full selling price less the VAT on its margin

    def __post_init__(self) -> None:
        margin_fits = self.margin_minor == self.sale_minor - self.purchase_minor
        if not margin_fits or self.net_sale_minor + self.vat_minor != self.sale_minor:
            raise ValueError("Margin, tax and net price do not add up to the selling price.")


def margin_sale(purchase_minor: int, sale_minor: int, vat_rate: Decimal) -> MarginSale:
    vat = margin_scheme_vat_minor(purchase_minor, sale_minor, vat_rate)
    return MarginSale(purchase_minor, sale_minor, sale_minor - purchase_minor, vat, sale_minor - vat)


def margin_scheme_refusal(
    *, purchase_shows_vat: bool = False, sale_shows_vat: bool = False, is_hire: bool = False
) -> str:
    """Why the scheme may not be used, in a sentence; "" when nothing stands against it (art 12)."""
    if is_hire:
        return "A hire fee is outside the margin scheme: VAT is due on the whole fee."
    if purchase_shows_vat:
        return "The purchase invoice shows VAT, so the margin scheme cannot be used for this instrument."
    if sale_shows_vat:
        return "An invoice under the margin scheme must not show VAT."
    return ""


def global_accounting_eligible(purchase_minor: int) -> bool:
    """Whether an item may be in the global scheme: bought for 500.00 or less (art 13)."""
    return purchase_minor <= GLOBAL_LIMIT_MINOR


def scheme_label(made: str, sold_on: date, *, documented: bool = False) -> str | None:
    """ "antique" when surely more than 100 years old on the day of sale, "second-hand" when surely not.

    `made` is EDTF. None when its bounds leave both possible, or when it is marked ? ~ % and the age is not
    `documented` otherwise: then somebody has to decide. ValueError when the text is not EDTF.
    """
    if not made or (is_hedged(made) and not documented):
        return None
    earliest, latest = bounds(made)
    limit = years_later(sold_on, -ANTIQUE_YEARS)
    if latest and latest < limit:
        return "antique"
    return "second-hand" if earliest and earliest >= limit else None


def keep_records_until(sold_on: date) -> date:
    """The first day on which purchase and sale records may go: six years after the sale."""
    return years_later(sold_on, KEEP_YEARS)


def years_later(day: date, years: int) -> date:
    """The same day of another year; 29 February becomes 1 March where there is none."""
    try:
        return day.replace(year=day.year + years)
    except ValueError:
        return date(day.year + years, 3, 1)


def _check_amounts(*amounts_minor: int) -> None:
    if any(amount < 0 for amount in amounts_minor):
        raise ValueError("A price cannot be negative.")


def _checked_rate(rate: Decimal) -> Fraction:
    share = exact(rate, "tax rate")
    if not 0 <= share < 1:
        raise ValueError("A tax rate is a share: 20 % is Decimal('0.20').")
    return Fraction(share)
