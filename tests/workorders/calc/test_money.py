from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workorders.calc import money


@pytest.mark.parametrize(
    ("text", "minor"),
    [
        ("1,250", 125000),
        ("£1 250.50", 125050),
        ("1250.5", 125050),
        ("1250.", 125000),
        (".50", 50),
        ("0", 0),
        ("  £ 20 ", 2000),
        ("GBP 1,234,567.89", 123456789),
        ("1\u202f250 €", 125000),
        ("1'250", 125000),
        ("1’250", 125000),
        ("007", 700),
    ],
)
def test_typed_amounts_are_read(text, minor):
    assert money.parse_minor(text) == minor


@pytest.mark.parametrize(
    ("text", "exponent", "minor"), [("1,250", 0, 1250), ("1.250", 3, 1250), ("1.25", 3, 1250)]
)
def test_the_currency_decides_how_many_decimals_there_are(text, exponent, minor):
    assert money.parse_minor(text, exponent=exponent) == minor


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "Give an amount"),
        ("£", "Give an amount"),
        ("-5", "negative"),
        ("(5.00)", "negative"),
        ("abc", "not an amount"),
        (".", "not an amount"),
        ("1,25", "not an amount"),
        ("12,50.00", "not an amount"),
        ("1,250 000", "not an amount"),
        ("1.2.3", "not an amount"),
        ("1e5", "not an amount"),
        ("1250.505", "more than 2 decimals"),
        ("1.250", "write 1250 or 1.25"),
        ("٣٠", "not an amount"),
        ("9" * 20, "too large"),
        ("9" * 5000, "too large"),
        ("1,000,000,000,000", "10,000,000 is the most"),
        ("10,000,000.01", "10,000,000 is the most"),
    ],
)
def test_amounts_that_cannot_be_read_are_refused_with_the_reason(text, words):
    with pytest.raises(ValueError, match=words):
        money.parse_minor(text)


def test_a_currency_without_decimals_takes_whole_numbers_only():
    with pytest.raises(ValueError, match="no decimals"):
        money.parse_minor("12.5", exponent=0)


@given(st.integers(0, money.LARGEST_MINOR))
def test_an_amount_written_out_reads_back_the_same(minor):
    assert money.parse_minor(f"{minor // 100:,}.{minor % 100:02}") == minor


@given(st.text(max_size=20))
def test_any_typed_text_is_an_amount_or_refused_by_a_sentence(text):
    try:
        assert money.parse_minor(text) >= 0
    except ValueError as reason:
        assert str(reason).endswith(".")


# Source: VATREC12030, below 0.5p down, 0.5p and above up; negatives mirror it (own choice).
@pytest.mark.parametrize(
    ("value", "minor"),
    [("0.5", 1), ("0.4999", 0), ("1.5", 2), ("2.5", 3), ("-0.5", -1), ("-0.4", 0), ("7", 7)],
)
def test_an_exact_half_goes_up(value, minor):
    assert money.round_half_up(Decimal(value)) == minor


@given(st.integers(-(10**12), 10**12), st.integers(1, 60))
def test_a_split_adds_up_again_and_is_even(total, parts):
    shares = money.split_minor(total, parts)
    assert (sum(shares), len(shares), max(shares) - min(shares) <= 1) == (total, parts, True)


def test_a_float_share_counts_as_it_is_written():
    assert money.share_minor(50, 0.29) == money.share_minor(50, Decimal("0.29")) == 15


def test_a_split_gives_the_odd_pence_to_the_first():
    assert money.split_minor(1000, 3) == [334, 333, 333]


def test_a_split_into_nothing_is_refused():
    with pytest.raises(ValueError, match="one part or more"):
        money.split_minor(1000, 0)


@pytest.mark.parametrize(
    ("amount", "share", "minor"), [(1000, "0.15", 150), (333, "0.5", 167), (1001, "0.075", 75), (0, "0.2", 0)]
)
def test_a_share_is_rounded_once(amount, share, minor):
    assert money.share_minor(amount, Decimal(share)) == minor


# Source: hours from J. Garrett's printed repair labor guide as quoted on pianotech, 3 Jul 2006
# (22.5 h for a grand under 7 ft); the money is derived arithmetic.
@pytest.mark.parametrize(
    ("minutes", "rate", "minor"), [(1350, 4000, 90000), (105, 3850, 6738), (0, 4000, 0), (1, 4000, 67)]
)
def test_labour_is_minutes_at_an_hourly_rate(minutes, rate, minor):
    assert money.labour_minor(minutes, rate) == minor


def test_labour_cannot_be_negative():
    with pytest.raises(ValueError, match="negative"):
        money.labour_minor(-1, 4000)


# Source: derived, 22.5 h and ten per cent are 24.75 h.
def test_a_contingency_is_added_to_the_estimate():
    assert money.with_contingency(1350, Decimal(10)) == 1485
