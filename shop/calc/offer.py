"""The offer calculator: the most the shop may pay and still earn what it wants."""

from decimal import Decimal

from shop.calc.margin import margin_scheme_vat_minor, vat_included_minor

SCHEMES = ("margin", "standard", "none", "sales_tax")


def profit_minor(
    purchase_minor: int, sale_minor: int, other_costs_minor: int, vat_rate: Decimal, scheme: str
) -> int:
    """What is left of a sale after purchase, other costs and the seller's own tax; negative is a loss.

    Costs are net of any tax the shop can reclaim; the purchase is from somebody who charges no VAT.

    - "margin": the sale price includes VAT on the margin only (UK and EU second-hand schemes).
    - "standard": the sale price includes VAT on the whole of it.
    - "none": the shop charges no tax.
    - "sales_tax": the tax comes on top of the sale price and is passed on, so it changes nothing here.
    """
    if scheme not in SCHEMES:
        raise ValueError(f"There is no tax scheme “{scheme}”: use one of {', '.join(SCHEMES)}.")
    tax = 0
    if scheme == "margin":
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
