"""The most we may pay, line by line, and how it moves. TRADE section 5: P = S - 1.2 x (C + M) at 20 %."""

from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from shop.calc.offer import OfferFigures, how_it_moves, most_we_may_pay_minor

PUBLISHED = OfferFigures(
    sale_minor=300_000,
    hours=Decimal(10),
    rate_minor=6_000,
    transport_minor=20_000,
    tuning_minor=10_000,
    profit_minor=60_000,
    vat_rate=Decimal("0.20"),
    scheme="margin",
)


def test_the_example_of_the_trade_page():
    """TRADE section 5: 3,000 sale, costs 900, profit 600 -> 1,200."""
    assert PUBLISHED.other_costs_minor == 90_000 and PUBLISHED.most_minor == 120_000
    assert PUBLISHED.tax_minor == 30_000  # (3,000 - 1,200) / 6


def test_hours_at_a_rate_are_rounded_once():
    """CHECKS section 13: 1.75 h x 38.50 = 67.375 -> 67.38."""
    assert OfferFigures(sale_minor=0, hours=Decimal("1.75"), rate_minor=3_850).work_minor == 6_738


def test_the_sale_price_moves_it_most_and_nothing_is_moved_by_nothing():
    swings = how_it_moves(PUBLISHED)
    assert swings[0].name == "sale_minor" and (swings[0].lower, swings[0].higher) == (270_000, 330_000)
    # A tenth of 3,000 moves the answer by 300: the tax is on the margin, which grows as much as the price.
    assert (swings[0].most_if_lower_minor, swings[0].most_if_higher_minor) == (90_000, 150_000)
    assert {swing.name for swing in swings}.isdisjoint({"parts_minor", "storage_minor"})


def test_even_a_gift_may_not_be_enough():
    figures = OfferFigures(sale_minor=50_000, transport_minor=40_000, profit_minor=30_000)
    assert figures.most_minor == 0 and figures.short_by_minor == 20_000


MONEY = st.integers(0, 2_000_000)


@given(sale=MONEY, transport=MONEY, profit=MONEY, scheme=st.sampled_from(["margin", "standard", "none"]))
def test_a_dearer_cost_never_raises_it_and_a_dearer_sale_never_lowers_it(sale, transport, profit, scheme):
    figures = OfferFigures(
        sale_minor=sale,
        transport_minor=transport,
        profit_minor=profit,
        vat_rate=Decimal("0.2"),
        scheme=scheme,
    )
    assert figures.most_minor == most_we_may_pay_minor(sale, transport, profit, Decimal("0.2"), scheme)
    for swing in how_it_moves(figures):
        rises = swing.most_if_higher_minor - swing.most_if_lower_minor
        assert rises >= 0 if swing.name == "sale_minor" else rises <= 0
