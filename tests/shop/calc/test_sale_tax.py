"""What tax a sale bears, against the worked examples that CHECKS 6 names with their sources."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.calc import sale_tax
from shop.calc.margin import MarginSale
from shop.calc.sale_tax import tax_on_sale, treatment_of, treatment_of_fee

UK = Decimal("0.20")
AMOUNTS = st.integers(min_value=0, max_value=10**9)
RATES = st.sampled_from([Decimal(rate) / 1000 for rate in (0, 50, 150, 175, 190, 200, 210, 250, 255)])


def margin(cost, price, rate=UK):
    return tax_on_sale("margin", price_minor=price, cost_minor=cost, rate=rate)


@pytest.mark.parametrize(
    ("cost", "price", "margin_minor", "tax", "net"),
    [
        (150_000, 200_000, 50_000, 8_333, 191_667),  # gov.uk, as copied at eastcambs.gov.uk
        (60_000, 125_000, 65_000, 10_833, 114_167),  # £480 of restoration changes nothing: VATMARG02300
        (85_000, 80_000, -5_000, 0, 80_000),  # a loss bears none
        (50_000, 50_000, 0, 0, 50_000),
        (180_000, 420_000, 240_000, 40_000, 380_000),  # part exchange, full price: VATMARG13350
        (90_000, 75_000, -15_000, 0, 75_000),  # the part-exchanged one at a loss
    ],
)
def test_uk_margin(cost, price, margin_minor, tax, net):
    taxed = margin(cost, price)
    assert (taxed.margin_minor, taxed.tax_minor, taxed.net_minor) == (margin_minor, tax, net)


@pytest.mark.parametrize(
    ("percent", "tax"), [(19, 7983), (20, 8333), (21, 8678), (22, 9016), (23, 9350), (25, 10_000)]
)
def test_eu_margin_of_500(percent, tax):
    """Directive 2006/112/EC art 315: the margin less the VAT in it."""
    taxed = tax_on_sale("margin_eu", price_minor=200_000, cost_minor=150_000, rate=Decimal(percent) / 100)
    assert taxed.tax_minor == tax


def test_a_purchase_invoice_that_shows_vat_rules_the_scheme_out():
    """CHECKS 6 test 10: £1,250 with VAT holds £208.33."""
    treatment, why = treatment_of("margin", cost_minor=60_000, purchase_shows_vat=True)
    assert treatment == "standard" and "shows VAT" in why
    assert tax_on_sale(treatment, price_minor=125_000, cost_minor=60_000, rate=UK).tax_minor == 20_833


def test_without_a_purchase_price_the_whole_price_is_taxed():
    """HMRC may assess VAT on the full price where records are poor (taxadvisermagazine.com 1 Oct 2015)."""
    assert treatment_of("margin", cost_minor=None) == ("standard", sale_tax.NOT_RECORDED)


@pytest.mark.parametrize(
    ("scheme", "treatment"),
    [("margin", "standard"), ("margin_eu", "standard"), ("standard", "standard"), ("none", "none")],
)
def test_hire_delivery_and_work_are_never_in_the_margin_scheme(scheme, treatment):
    """SI 1995/1268 art 12(4); CHECKS 6 test 11: £60 holds £10.00."""
    assert treatment_of_fee(scheme) == treatment
    fee = tax_on_sale(treatment, price_minor=6_000, cost_minor=None, rate=UK)
    assert fee.tax_minor == (1_000 if treatment == "standard" else 0)


def test_sales_tax_comes_on_top_and_who_is_not_registered_charges_none():
    taxed = tax_on_sale("sales_tax", price_minor=100_000, cost_minor=None, rate=Decimal("0.08875"))
    assert (taxed.gross_minor, taxed.tax_minor, taxed.net_minor) == (108_875, 8_875, 100_000)
    assert tax_on_sale("none", price_minor=100_000, cost_minor=1, rate=Decimal(0)).tax_minor == 0


def test_a_margin_needs_its_purchase_price_and_a_scheme_has_to_be_known():
    with pytest.raises(ValueError, match="purchase price"):
        margin(None, 100)
    with pytest.raises(ValueError, match="Nothing is known"):
        tax_on_sale("flat", price_minor=1, cost_minor=1, rate=UK)


@given(cost=AMOUNTS, price=AMOUNTS, rate=RATES)
def test_vat_on_a_margin_is_never_negative_nor_more_than_its_fraction(cost, price, rate):
    taxed = margin(cost, price, rate)
    exact = max(0, price - cost) * rate / (1 + rate)
    assert taxed.tax_minor >= 0
    assert abs(taxed.tax_minor - exact) <= Decimal("0.5")
    assert taxed.tax_minor <= max(0, price - cost)
    assert MarginSale(cost, price, taxed.margin_minor, taxed.tax_minor, taxed.net_minor)


@given(price=AMOUNTS, rate=RATES, scheme=st.sampled_from(["standard", "sales_tax", "none"]))
def test_no_minor_unit_is_lost_between_net_tax_and_gross(price, rate, scheme):
    taxed = tax_on_sale(scheme, price_minor=price, cost_minor=None, rate=rate)
    assert taxed.net_minor + taxed.tax_minor == taxed.gross_minor
    assert 0 <= taxed.tax_minor <= taxed.gross_minor
