"""How a telephone number is found however it was written: with and without spaces, +44 or 0 before it.

Codes of countries: ITU-T E.164, list of assigned country codes. The nought that is dialled before the area
inside a country ("trunk prefix"): ITU-T E.123; Italy keeps it in the number, North America has none.
"""

import re

# By ISO 3166-1: the code of the country, and what is dialled before an area inside it.
CODES = {
    "GB": ("44", "0"),
    "IE": ("353", "0"),
    "DE": ("49", "0"),
    "AT": ("43", "0"),
    "CH": ("41", "0"),
    "FR": ("33", "0"),
    "NL": ("31", "0"),
    "BE": ("32", "0"),
    "SE": ("46", "0"),
    "AU": ("61", "0"),
    "NZ": ("64", "0"),
    "ES": ("34", ""),
    "IT": ("39", ""),
    "US": ("1", ""),
    "CA": ("1", ""),
}
LIKE_A_NUMBER = re.compile(r"(?:\+|\(|\b)[\d()][\d\s()./-]{3,}\d")
FEWEST_DIGITS = 5


def digits_of(number: str) -> str:
    """The digits alone; a nought in brackets after the code of a country is not dialled with it."""
    return re.sub(r"\D", "", number.replace("(0)", "") if _is_abroad(number) else number)


def telling_digits(number: str, country: str) -> str:
    """The digits that every spelling of a number of that country shares: no +44, no 0 before the area."""
    code, trunk = CODES.get(country, ("", ""))
    digits = digits_of(number)
    if _is_abroad(number):
        return digits.removeprefix("00").removeprefix(code) if code else digits.removeprefix("00")
    return digits.removeprefix(trunk) if trunk else digits


def _is_abroad(number: str) -> bool:
    return number.strip().lstrip("(").startswith(("+", "00"))
