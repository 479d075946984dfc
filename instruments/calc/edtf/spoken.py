"""A single date as people write it, without "about" or "before": "May 1912", "the 1910s", "7/25/1912"."""

import re

from instruments.calc.edtf.refusal import MONTH_NAMES

_MONTH = (
    r"(jan(?:uary)?|feb(?:ruary)?|mar(?:ch)?|apr(?:il)?|may|june?|july?"
    r"|aug(?:ust)?|sept?(?:ember)?|oct(?:ober)?|nov(?:ember)?|dec(?:ember)?)\.?"
)
_YEAR, _DAY, _OF = r"(\d{4})", r"(\d{1,2})(?:st|nd|rd|th)?", r"[\s,]+(?:of\s+)?"
_SEASON_CODES = {"spring": 21, "summer": 22, "autumn": 23, "fall": 23, "winter": 24}
_DECADE_PARTS = {"early": "{}0/{}4~", "mid": "{}3~/{}7~", "late": "{}5~/{}9"}


def point_from_words(words: str) -> str:
    """The EDTF of one date in lower-case words; "" when it is not read; ValueError when it is ambiguous."""
    for pattern, read in _FORMS:
        if found := re.fullmatch(pattern, words, re.ASCII):
            return read(*found.groups())
    return ""


def _day_month_year(day: str, month: str, year: str) -> str:
    return f"{year}-{_month_number(month):02}-{int(day):02}"


def _month_year(month: str, year: str) -> str:
    return f"{year}-{_month_number(month):02}"


def _month_number(name: str) -> int:
    return next(place for place, full in enumerate(MONTH_NAMES, 1) if full.casefold().startswith(name[:3]))


def _season(name: str, year: str) -> str:
    return f"{year}-{_SEASON_CODES[name]}"


def _decade(tens: str) -> str:
    _refuse_century(tens)
    return f"{tens}X"


def _part_of_decade(part: str, tens: str) -> str:
    _refuse_century(tens)
    return _DECADE_PARTS[part].format(tens, tens)


def _refuse_century(tens: str) -> None:
    if tens.endswith("0"):
        decade, century = f"{tens}0 to {tens}9", f"{tens[:2]}XX"
        raise ValueError(
            f"“{tens}0s” can be read two ways: write {decade}, or {century} for the whole century."
        )


def _century(number: str) -> str:
    return f"{int(number) - 1:02}XX" if int(number) > 1 else ""


def _figures(first: str, _separator: str, second: str, year: str) -> str:
    """Day and month in figures, in either order, when only one order is possible."""
    if int(first) > 12 or first == second:
        day, month = first, second
    elif int(second) > 12:
        day, month = second, first
    else:
        ways = " or ".join(
            f"{int(day)} {MONTH_NAMES[int(month) - 1]} {year}"
            for day, month in ((first, second), (second, first))
            if 1 <= int(month) <= 12
        )
        raise ValueError(f"“{first}/{second}/{year}” can be read two ways: write {ways}.")
    return f"{year}-{int(month):02}-{int(day):02}"


_DECADE = r"(?:the )?(\d{3})0'?s"
_FORMS = [
    (rf"{_YEAR}", str),
    (r"(\d{2}(?:\d|x)x)", str.upper),
    (r"(\d{4}-\d{2}(?:-\d{2})?)", str),
    (_DECADE, _decade),
    (rf"(?:the )?(early|mid|late)[\s-]+{_DECADE}", _part_of_decade),
    (r"(?:the )?(\d{1,2})(?:st|nd|rd|th)[\s-]+century", _century),
    (rf"{_MONTH}{_OF}{_YEAR}", _month_year),
    (rf"{_YEAR},? {_MONTH}", lambda year, month: _month_year(month, year)),
    (rf"{_DAY}{_OF}{_MONTH}{_OF}{_YEAR}", _day_month_year),
    (rf"{_MONTH} {_DAY}{_OF}{_YEAR}", lambda month, day, year: _day_month_year(day, month, year)),
    (rf"(?:the )?({'|'.join(_SEASON_CODES)}){_OF}{_YEAR}", _season),
    (r"(\d{1,2})([./-])(\d{1,2})\2(\d{4})", _figures),
]
