"""Money in whole minor units (pence, cents): reading it, sharing it, rounding it. Never a float."""

import re
from fractions import Fraction

from instruments.calc.exact import Number, exact

LARGEST_MINOR = 10**9  # of what is typed: ten million pounds, a thousand million yen

_SPACES = re.compile(r"[\s\u00a0\u202f]+")
_SIGN = r"(?:[£$€¥₹₩₽₺]|kr)"
_CURRENCY = re.compile(rf"^(?:[A-Za-z]{{3}}(?=[\s\d.])|{_SIGN})|(?<=[\d.\s])(?:[A-Za-z]{{3}}|{_SIGN})$")
_AMOUNT = re.compile(r"(?:(\d{1,3}(?:([ ,'’])\d{3})(?:\2\d{3})*)|(\d*))(?:\.(\d*))?", re.ASCII)


def parse_minor(text: str, exponent: int = 2) -> int:
    """A typed amount in minor units: "1,250" -> 125000, "£1 250.50" -> 125050.

    `exponent` is the number of decimals of the currency (ISO 4217), 0 to 3. The point marks the decimals;
    comma, space and apostrophe only group thousands, and only in threes. No sign: amounts are not negative.
    Raises ValueError with a sentence for the person who typed it.
    """
    amount = _CURRENCY.sub("", _SPACES.sub(" ", text).strip()).strip()
    if not amount:
        raise ValueError("Give an amount, such as 1,250 or 1250.50.")
    if amount.startswith(("-", "−", "(")):
        raise ValueError("An amount cannot be negative.")
    read = _AMOUNT.fullmatch(amount)
    if read is None or amount == ".":
        raise ValueError(f"“{text.strip():.30}” is not an amount: write it like 1,250 or 1250.50.")
    whole = re.sub(r"\D", "", read[1] or read[3] or "0")
    decimals = read[4] or ""
    if len(decimals) > exponent:
        raise ValueError(_too_many_decimals(amount, exponent))
    digits = (whole + decimals.ljust(exponent, "0")).lstrip("0") or "0"
    if len(digits) > len(str(LARGEST_MINOR)) or int(digits) > LARGEST_MINOR:
        most = LARGEST_MINOR // 10**exponent
        raise ValueError(f"That amount is too large to be right: {most:,} is the most. Count its noughts.")
    return int(digits)


def round_half_up(value: Number | Fraction) -> int:
    """The nearest whole minor unit, an exact half going away from zero (VATREC12030: 0.5p goes up)."""
    exact_value = _fraction(value)
    size = (abs(exact_value) + Fraction(1, 2)).__floor__()
    return size if exact_value >= 0 else -size


def share_minor(amount_minor: int, share: Number | Fraction) -> int:
    """The share (Decimal("0.15") is 15 %) of an amount, computed exactly and rounded half up once."""
    return round_half_up(amount_minor * _fraction(share))


def split_minor(total: int, parts: int) -> list[int]:
    """The total in so many shares that differ by one minor unit at most and add up to it again.

    The larger shares come first. ValueError when there is no part to give to.
    """
    if parts < 1:
        raise ValueError("An amount can only be split into one part or more.")
    share, left_over = divmod(abs(total), parts)
    sign = 1 if total >= 0 else -1
    return [sign * (share + (place < left_over)) for place in range(parts)]


def labour_minor(minutes: int, per_hour_minor: int) -> int:
    """What so many minutes cost at a rate per hour, rounded half up once at the end."""
    if minutes < 0 or per_hour_minor < 0:
        raise ValueError("Time and hourly rate cannot be negative.")
    return round_half_up(Fraction(minutes * per_hour_minor, 60))


def with_contingency(minutes: int, percent: Number) -> int:
    """Estimated minutes with an allowance for the unforeseen, to the nearest minute, half up."""
    return round_half_up(minutes * (1 + _fraction(percent) / 100))


def _fraction(value: Number | Fraction) -> Fraction:
    return value if isinstance(value, Fraction) else Fraction(exact(value))


def _too_many_decimals(amount: str, exponent: int) -> str:
    if exponent == 0:
        return f"This currency has no decimals: “{amount:.30}” has to be a whole number."
    if re.fullmatch(r"\d{1,3}\.\d{3}", amount):
        whole = amount.replace(".", "")
        return f"“{amount}” can be read two ways: write {whole} or {amount[: exponent - 3]}."
    return f"“{amount:.30}” has more than {exponent} decimals."
