from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.calc.offer import SCHEMES, most_we_may_pay_minor, profit_minor

UK = Decimal("0.20")


# Source: derived, P = S - 1.2 x (C + M) under the margin scheme at 20 %; the others from their definitions.
@pytest.mark.parametrize(
    ("scheme", "pay"), [("margin", 120000), ("none", 150000), ("standard", 100000), ("sales_tax", 150000)]
)
def test_the_most_we_may_pay_depends_on_the_tax_scheme(scheme, pay):
    assert most_we_may_pay_minor(300000, 90000, 60000, UK, scheme) == pay


def test_not_even_a_gift_may_be_enough():
    assert most_we_may_pay_minor(100000, 90000, 60000, UK, "margin") == 0
    assert profit_minor(0, 100000, 90000, UK, "margin") < 60000


def test_a_shop_that_accepts_a_loss_may_pay_more_than_it_sells_for():
    assert most_we_may_pay_minor(100000, 10000, -30000, UK, "margin") == 120000


@pytest.mark.parametrize(
    ("arguments", "reason"),
    [
        ((1, 1, 1, UK, "flat"), "no tax scheme “flat”"),
        ((-1, 1, 1, UK, "none"), "negative"),
        ((9, 1, 1, Decimal(20), "margin"), "share"),
    ],
)
def test_what_cannot_be_calculated_is_refused(arguments, reason):
    with pytest.raises(ValueError, match=reason):
        most_we_may_pay_minor(*arguments)


amounts = st.integers(0, 10**7)


@given(
    amounts,
    amounts,
    amounts,
    st.sampled_from(["0.05", "0.19", "0.20", "0.25"]).map(Decimal),
    st.sampled_from(SCHEMES),
)
def test_at_that_price_the_profit_is_there_and_one_unit_more_loses_it(sale, costs, profit, rate, scheme):
    pay = most_we_may_pay_minor(sale, costs, profit, rate, scheme)
    even_as_a_gift = profit_minor(0, sale, costs, rate, scheme) >= profit
    assert (profit_minor(pay, sale, costs, rate, scheme) >= profit) is even_as_a_gift
    assert profit_minor(pay + 1, sale, costs, rate, scheme) < profit
