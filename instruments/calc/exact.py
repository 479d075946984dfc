"""Exact numbers: what a person or a form gives becomes a Decimal without a float's tail."""

from decimal import Decimal, InvalidOperation

Number = int | str | Decimal | float

_LARGEST_EXPONENT, _SMALLEST_EXPONENT = 15, -30  # nothing weighed, measured or paid lies outside


def exact(value: Number, what: str = "value") -> Decimal:
    """The value as a finite Decimal; floats go through `str`. ValueError names `what` otherwise."""
    try:
        number = Decimal(str(value).strip())
    except InvalidOperation:
        raise ValueError(f"The {what} is not a number: {value!s:.40}.") from None
    if not number.is_finite():
        raise ValueError(f"The {what} has to be a finite number.")
    if number and not _SMALLEST_EXPONENT <= number.adjusted() <= _LARGEST_EXPONENT:
        raise ValueError(f"The {what} is too large or too small to be right.")
    return number


def plain(number: Decimal) -> str:
    """A Decimal as people write it: no exponent, no idle zeros ("12.50" -> "12.5", "40" -> "40")."""
    text = f"{number:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
