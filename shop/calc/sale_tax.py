"""What tax one sale bears, by the scheme it falls under. Minor units in, minor units out; not tax advice.

Sources: SI 1995/1268 arts 12, 13 (who may use the margin scheme); gov.uk "VAT margin schemes"; Directive
2006/112/EC arts 312 to 325; for sales tax the shop's own state. Repairs never reduce the margin
(VATMARG02300), and a loss is never set against another item.
"""

from dataclasses import dataclass
from decimal import Decimal

from shop.calc.margin import margin_scheme_vat_minor, sales_tax_minor, vat_included_minor

MARGIN, MARGIN_EU, STANDARD, SALES_TAX, NONE = "margin", "margin_eu", "standard", "sales_tax", "none"
MARGIN_SCHEMES = frozenset({MARGIN, MARGIN_EU})

NOT_RECORDED = "What was paid for it is not recorded, so VAT is due on the whole price."
SHOWS_VAT = (
    "The purchase invoice shows VAT, so the margin scheme cannot be used: VAT is due on the whole price."
)


@dataclass(frozen=True, slots=True)
class SaleTax:
    """One sale or fee as the books take it. `gross` is what the customer pays, tax and all."""

    treatment: str
    price_minor: int
    gross_minor: int
    tax_minor: int
    cost_minor: int | None  # the purchase price set against it, where a margin is taxed

    @property
    def net_minor(self) -> int:
        return self.gross_minor - self.tax_minor

    @property
    def margin_minor(self) -> int | None:
        """Selling price less purchase price; a loss is negative and bears no tax."""
        return None if self.cost_minor is None else self.price_minor - self.cost_minor


def treatment_of(scheme: str, *, cost_minor: int | None, purchase_shows_vat: bool = False) -> tuple[str, str]:
    """How a sale of goods is taxed under the shop's scheme, and why where it is not as the scheme has it."""
    if scheme not in MARGIN_SCHEMES:
        return scheme, ""
    if purchase_shows_vat:
        return STANDARD, SHOWS_VAT
    if cost_minor is None:
        return STANDARD, NOT_RECORDED
    return scheme, ""


def tax_on_sale(treatment: str, *, price_minor: int, cost_minor: int | None, rate: Decimal) -> SaleTax:
    """Tax of a sale at a price agreed with the customer; only sales tax comes on top of it.

    `rate` is Decimal("0.20") for 20 %. ValueError for a margin without a purchase price.
    """
    if treatment in MARGIN_SCHEMES:
        if cost_minor is None:
            raise ValueError("A margin needs the purchase price.")
        tax = margin_scheme_vat_minor(cost_minor, price_minor, rate)
        return SaleTax(treatment, price_minor, price_minor, tax, cost_minor)
    if treatment == STANDARD:
        return SaleTax(treatment, price_minor, price_minor, vat_included_minor(price_minor, rate), None)
    if treatment == SALES_TAX:
        tax = sales_tax_minor(price_minor, rate)
        return SaleTax(treatment, price_minor, price_minor + tax, tax, None)
    if treatment == NONE:
        return SaleTax(treatment, price_minor, price_minor, 0, None)
    raise ValueError(f"Nothing is known of the scheme {treatment!r}.")


def treatment_of_fee(scheme: str) -> str:
    """Hire, delivery and work: never under a margin scheme (art 12(4) for hire). Sales tax is on goods."""
    if scheme in MARGIN_SCHEMES:
        return STANDARD
    return NONE if scheme == SALES_TAX else scheme
