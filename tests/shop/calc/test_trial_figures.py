"""The sums follow from the agreement's own rule: what was paid comes off the other price."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.calc.credit_terms import CreditRule
from shop.calc.trial_figures import Exchange, Return, TrialFigures

amounts = st.integers(min_value=0, max_value=10**9)


@st.composite
def agreed_figures(draw):
    price = draw(amounts)
    paid = draw(st.integers(min_value=0, max_value=price))
    fees = ("delivery",) if draw(st.booleans()) else ()
    credit = CreditRule(scale=((0, draw(st.integers(0, 100))),), fees_that_count=fees)
    return TrialFigures(price, paid, draw(amounts), credit)


def share(percent: int) -> CreditRule:
    return CreditRule(scale=((0, percent),))


DELIVERY_COUNTS = CreditRule(fees_that_count=("delivery",))


def test_what_is_still_to_pay_is_the_price_less_what_counts():
    figures = TrialFigures(price_minor=295_000, paid_minor=60_000, delivery_minor=9_000)
    assert figures.due_at_start_minor == 69_000
    assert figures.still_to_pay_minor == 235_000


def test_a_delivery_charge_that_counts_comes_off_the_price():
    figures = TrialFigures(295_000, 60_000, delivery_minor=9_000, credit=DELIVERY_COUNTS)
    assert figures.still_to_pay_minor == 226_000
    assert figures.credit_minor == 69_000


def test_a_fee_that_counts_comes_off_no_more_than_the_price():
    figures = TrialFigures(295_000, 290_000, delivery_minor=9_000, credit=DELIVERY_COUNTS)
    assert figures.still_to_pay_minor == 0
    assert figures.credit_minor == 299_000


@pytest.mark.parametrize(
    ("percent", "paid", "credit"),
    [(100, 60_000, 60_000), (80, 60_000, 48_000), (50, 101, 51), (0, 60_000, 0)],
)
def test_the_agreed_share_counts_toward_another_instrument(percent, paid, credit):
    assert TrialFigures(295_000, paid, credit=share(percent)).credit_minor == credit


@pytest.mark.parametrize(
    ("other", "still_to_pay", "left"),
    [(340_000, 280_000, 0), (60_000, 0, 0), (45_000, 0, 15_000), (0, 0, 60_000)],
)
def test_credit_is_set_against_the_other_price(other, still_to_pay, left):
    exchange = TrialFigures(295_000, 60_000).exchanged_for(other)
    assert exchange.still_to_pay_minor == still_to_pay
    assert exchange.left_in_credit_minor == left


@given(agreed_figures(), amounts)
def test_credit_is_conserved_in_every_exchange(figures, other_price):
    exchange = figures.exchanged_for(other_price)
    assert exchange.used_minor + exchange.left_in_credit_minor == figures.credit_minor
    assert exchange.used_minor + exchange.still_to_pay_minor == other_price


@given(agreed_figures(), st.sampled_from([50, 5_000, 50_000]))
def test_the_example_has_a_dearer_and_a_cheaper_instrument_in_round_figures(figures, step):
    dearer, cheaper = figures.example_prices(step)
    assert dearer % step == cheaper % step == 0
    assert dearer >= figures.price_minor * 115 // 100 - step
    assert cheaper <= max(step, figures.price_minor)


@pytest.mark.parametrize(
    "wrong",
    [
        {"price_minor": -1},
        {"paid_minor": -1},
        {"delivery_minor": -1},
        {"paid_minor": 295_001},
    ],
)
def test_figures_that_cannot_be_true_are_refused(wrong):
    with pytest.raises(ValueError):
        TrialFigures(**({"price_minor": 295_000, "paid_minor": 60_000} | wrong))


def test_an_exchange_that_does_not_add_up_cannot_be_written():
    with pytest.raises(ValueError, match="add up"):
        Exchange(other_price_minor=100, used_minor=60, still_to_pay_minor=41, left_in_credit_minor=0)


def test_a_return_leaves_what_was_not_deducted():
    assert Return(paid_minor=180_000, deduction_minor=2_000).rest_minor == 178_000


@pytest.mark.parametrize(("paid", "deduction"), [(100, 101), (100, -1)])
def test_a_return_that_cannot_be_is_refused(paid, deduction):
    with pytest.raises(ValueError):
        Return(paid, deduction)
