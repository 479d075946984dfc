"""The shop's one currency: how its amounts are printed and how many decimals it has."""

from babel.numbers import format_currency, get_currency_precision, get_currency_symbol
from django.conf import settings
from django.utils.translation import get_language, to_locale


def exponent() -> int:
    """Decimals of the shop's currency by ISO 4217: 2 for GBP, 0 for JPY."""
    return get_currency_precision(settings.CURRENCY)


def in_words(amount_minor: int) -> str:
    """An amount as printed: 125000 -> "£1,250.00"."""
    decimals = exponent()
    sign, digits = ("-" if amount_minor < 0 else ""), f"{abs(amount_minor):0{decimals + 1}d}"
    exact = f"{sign}{digits[:-decimals]}.{digits[-decimals:]}" if decimals else f"{sign}{digits}"
    words = format_currency(exact, settings.CURRENCY, locale=_locale())
    return words.replace("-", "\N{MINUS SIGN}")


def price_in_words(amount_minor: int) -> str:
    """A price as a window shows it: without decimals where there are none, "£1,250"."""
    whole, rest = divmod(amount_minor, 10 ** exponent())
    if rest:
        return in_words(amount_minor)
    return format_currency(whole, settings.CURRENCY, locale=_locale(), format="¤#,##0", currency_digits=False)


def plain(amount_minor: int) -> str:
    """An amount as a person types it and a machine reads it: 125050 -> "1250.50"."""
    decimals = exponent()
    digits = f"{abs(amount_minor):0{decimals + 1}d}"
    number = f"{digits[:-decimals]}.{digits[-decimals:]}" if decimals else digits
    return f"-{number}" if amount_minor < 0 else number


def symbol() -> str:
    """The sign people write before an amount: "£"."""
    return get_currency_symbol(settings.CURRENCY, locale=_locale())


def _locale() -> str:
    return to_locale(get_language() or settings.LANGUAGE_CODE)
