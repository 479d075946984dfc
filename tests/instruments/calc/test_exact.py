from decimal import Decimal

import pytest

from instruments.calc.exact import exact, plain


@pytest.mark.parametrize(
    ("value", "number"), [(0.1, "0.1"), (" 12.50 ", "12.50"), (3, "3"), (Decimal("1E+3"), "1000")]
)
def test_numbers_keep_what_was_written(value, number):
    assert exact(value) == Decimal(number)


@pytest.mark.parametrize(
    ("value", "reason"),
    [
        ("", "not a number"),
        ("twelve", "not a number"),
        ("NaN", "finite"),
        ("Infinity", "finite"),
        ("1e99999", "too large"),
        ("1e-99999", "too small"),
    ],
)
def test_what_is_no_usable_number_is_refused_by_name(value, reason):
    with pytest.raises(ValueError, match=reason) as refusal:
        exact(value, "down-weight")
    assert "down-weight" in str(refusal.value)


@pytest.mark.parametrize(
    ("number", "text"), [("12.50", "12.5"), ("40", "40"), ("1E+3", "1000"), ("0.00", "0"), ("-2.0", "-2")]
)
def test_numbers_are_shown_without_idle_zeros(number, text):
    assert plain(Decimal(number)) == text
