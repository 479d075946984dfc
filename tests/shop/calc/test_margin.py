from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.calc import margin

UK = Decimal("0.20")


# Sources: 1500/2000 published by gov.uk (copied at eastcambs.gov.uk; bnwaccountants.co.uk); the others
# derived from margin x 1/6 (gov.uk "VAT margin schemes: keeping records") and VATREC12030 (0.5p goes up).
@pytest.mark.parametrize(
    ("purchase", "sale", "vat"),
    [
        (150000, 200000, 8333),
        (60000, 125000, 10833),
        (85000, 80000, 0),
        (50000, 50000, 0),
        (10000, 10003, 1),
        (10000, 10002, 0),
        (0, 50000, 8333),
    ],
)
def test_vat_is_due_on_the_margin_alone(purchase, sale, vat):
    assert margin.margin_scheme_vat_minor(purchase, sale, UK) == vat


# Source: gov.uk prints both 16.67 % and one sixth; its own example is one sixth.
def test_one_sixth_is_not_16_67_per_cent():
    assert margin.margin_scheme_vat_minor(0, 50000, UK) != round(50000 * Decimal("0.1667"))


# Source: VATMARG02300, repairs and parts are not added to the purchase price.
def test_restoration_does_not_reduce_the_margin():
    purchase, restoration, sale = 60000, 48000, 125000
    found = margin.margin_scheme_vat_minor(purchase, sale, UK)
    assert found == 10833 != margin.margin_scheme_vat_minor(purchase + restoration, sale, UK)


# Source: no profit, no VAT, item by item (HMRC as quoted on vatforum; a Tolley note on global accounting).
def test_a_loss_is_not_set_against_the_next_item():
    sales = [(85000, 80000), (60000, 125000)]
    assert sum(margin.margin_scheme_vat_minor(*sale, UK) for sale in sales) == 10833


# Source: VATMARG13350, the full allowance is the purchase price of the instrument taken in.
def test_a_part_exchange_keeps_both_prices_whole():
    sold = margin.margin_scheme_vat_minor(180000, 420000, UK)
    taken_in = margin.margin_scheme_vat_minor(90000, 75000, UK)
    assert (sold, taken_in) == (40000, 0)


# Source: Directive 2006/112/EC art 315; figures derived for a margin of 500.00.
@pytest.mark.parametrize(
    ("rate", "vat"),
    [("0.19", 7983), ("0.20", 8333), ("0.21", 8678), ("0.22", 9016), ("0.23", 9350), ("0.25", 10000)],
)
def test_european_rates_work_the_same_way(rate, vat):
    assert margin.margin_scheme_vat_minor(100000, 150000, Decimal(rate)) == vat


# Source: SI 1995/1268 art 12(4)(a)(i), letting on hire is excluded; figure derived.
def test_a_hire_fee_carries_vat_in_full():
    assert margin.hire_vat_minor(6000, UK) == 1000


# Source: SI 1995/1268 art 12(3); figure derived.
def test_a_sale_outside_the_scheme_carries_vat_on_the_whole_price():
    assert margin.vat_included_minor(125000, UK) == 20833


# Source: derived; US practice from memory, varies by state.
def test_sales_tax_comes_on_top():
    assert margin.sales_tax_minor(125010, Decimal("0.0825")) == 10313


@pytest.mark.parametrize(
    ("purchase", "sale", "rate"), [(-1, 10, "0.2"), (1, -10, "0.2"), (1, 10, "20"), (1, 10, "-0.2")]
)
def test_impossible_prices_and_rates_are_refused(purchase, sale, rate):
    with pytest.raises(ValueError, match=r"cannot be negative|is a share"):
        margin.margin_scheme_vat_minor(purchase, sale, Decimal(rate))


# Source: boxes 6 and 7 as HMRC is quoted on vatforum.
def test_the_books_show_the_price_less_the_vat_on_its_margin():
    sale = margin.margin_sale(150000, 200000, UK)
    assert (sale.margin_minor, sale.vat_minor, sale.net_sale_minor, sale.purchase_minor) == (
        50000,
        8333,
        191667,
        150000,
    )


def test_books_that_do_not_add_up_cannot_be_made():
    with pytest.raises(ValueError, match="do not add up"):
        margin.MarginSale(150000, 200000, 50000, 8333, 191666)


prices, rates = st.integers(0, 10**8), st.sampled_from(["0", "0.19", "0.20", "0.21", "0.25"]).map(Decimal)


@given(prices, prices, rates)
def test_the_vat_lies_within_the_margin(purchase, sale, rate):
    assert 0 <= margin.margin_scheme_vat_minor(purchase, sale, rate) <= max(0, sale - purchase)


# Source: SI 1995/1268 arts 12(3), 12(4).
@pytest.mark.parametrize(
    ("facts", "words"),
    [
        ({}, ""),
        ({"purchase_shows_vat": True}, "purchase invoice shows VAT"),
        ({"sale_shows_vat": True}, "must not show VAT"),
        ({"is_hire": True}, "hire fee"),
    ],
)
def test_the_scheme_is_refused_for_a_stated_reason(facts, words):
    found = margin.margin_scheme_refusal(**facts)
    assert words in found and bool(found) == bool(words)


# Source: SI 1995/1268 art 13, a price exceeding 500 pounds is excluded.
@pytest.mark.parametrize(("purchase", "eligible"), [(50000, True), (50001, False)])
def test_global_accounting_ends_at_500_pounds(purchase, eligible):
    assert margin.global_accounting_eligible(purchase) is eligible


# Source: SI 1995/1268 art 2, "more than 100 years old"; dates derived. Marks alone prove nothing.
@pytest.mark.parametrize(
    ("made", "label"),
    [
        ("1920", "antique"),
        ("1931", "second-hand"),
        ("1926?", None),
        ("1926", None),
        ("1926-06-14", "antique"),
        ("1926-06-15", "second-hand"),
        ("1912~", None),
        ("../1925", "antique"),
        ("../1931", None),
        ("192X", None),
        ("", None),
    ],
)
def test_an_instrument_over_100_years_old_is_an_antique(made, label):
    assert margin.scheme_label(made, date(2026, 6, 15)) == label


def test_a_documented_age_may_be_approximate():
    assert margin.scheme_label("1912~", date(2026, 6, 15), documented=True) == "antique"


@pytest.mark.parametrize("label", ["antique", "second-hand"])
def test_every_label_has_its_invoice_wording(label):
    assert margin.SCHEME_WORDING[label].startswith("margin scheme - ")


# Source: gov.uk keeping records, six years, unsold stock until sold; the later day derived.
@pytest.mark.parametrize(
    ("sold_on", "until"), [(date(2027, 3, 1), date(2033, 3, 1)), (date(2024, 2, 29), date(2030, 3, 1))]
)
def test_records_are_kept_for_six_years_after_the_sale(sold_on, until):
    assert margin.keep_records_until(sold_on) == until
