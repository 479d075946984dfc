"""Before and after one payment. Sums are our own arithmetic: 1,800.00 agreed, paid in steps."""

import pytest

from shop.calc.receipt import stood


@pytest.mark.parametrize(
    ("amount", "payments", "entries", "before", "to_pay_before", "to_pay_after"),
    [
        (50_000, [], [], 0, 180_000, 130_000),
        (130_000, [50_000], [], 50_000, 130_000, 0),
        (30_000, [], [-120_000], 120_000, 60_000, 30_000),  # credit used first
        (-20_000, [50_000], [], 50_000, 130_000, 150_000),
        (10_000, [200_000], [20_000], 180_000, 0, 0),  # never less than nothing
    ],
)
def test_what_was_still_to_pay_before_and_after(
    amount, payments, entries, before, to_pay_before, to_pay_after
):
    told = stood(amount, payments_before=payments, credit_entries_before=entries, agreed_minor=180_000)
    assert told.before_minor == before
    assert (told.to_pay_before_minor, told.to_pay_after_minor) == (to_pay_before, to_pay_after)


def test_without_a_price_nothing_is_said_to_be_still_to_pay():
    told = stood(5_000, payments_before=[2_000])
    assert (told.before_minor, told.after_minor, told.to_pay_after_minor) == (2_000, 7_000, None)
