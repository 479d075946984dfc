"""What of a deposit may be kept. Shares and sums are common practice, no source; the arithmetic is our own.

That only a real loss may be kept: Consumer Rights Act 2015 Part 2 (from memory)."""

from datetime import date, timedelta

import pytest

from shop.calc.hold_terms import DepositTerms, is_large, most_kept_minor

DAY = date(2026, 5, 4)
TERMS = DepositTerms(full_until=DAY, keep_percent=25)
AFTER = DAY + timedelta(days=1)


@pytest.mark.parametrize(
    ("terms", "paid", "on", "most"),
    [
        (TERMS, 10_000, DAY, 0),  # the day itself still gives all of it back
        (TERMS, 10_000, AFTER, 2_500),
        (TERMS, 10_001, AFTER, 2_500),  # half a penny goes to the customer
        (TERMS, 10_003, AFTER, 2_500),
        (TERMS, 0, AFTER, 0),
        (DepositTerms(DAY, 25, 2_000), 10_000, AFTER, 2_000),
        (DepositTerms(DAY, 25, 3_000), 10_000, AFTER, 2_500),
        (DepositTerms(DAY, 25, 0), 10_000, AFTER, 0),
        (DepositTerms(DAY, 0), 10_000, AFTER, 0),
        (DepositTerms(DAY, 100), 10_000, AFTER, 10_000),
        (None, 10_000, AFTER, 0),  # nothing was agreed, so nothing is kept
    ],
)
def test_no_more_is_kept_than_the_terms_say(terms, paid, on, most):
    assert most_kept_minor(terms, paid_minor=paid, on=on) == most


def test_where_the_shop_lets_go_all_of_it_goes_back():
    assert most_kept_minor(TERMS, paid_minor=10_000, on=AFTER, shop_lets_go=True) == 0


@pytest.mark.parametrize(
    ("deposit", "price", "large"),
    [(18_000, 180_000, False), (18_001, 180_000, True), (5_000, None, False), (0, 180_000, False)],
)
def test_a_deposit_is_large_above_the_share_and_not_at_it(deposit, price, large):
    assert is_large(deposit, price, 10) is large
