"""Why a text is not read as a date: forms of the standard that are left out are refused by their name."""

import re

MONTH_NAMES = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)
_OTHER_SEASONS = range(25, 42)
_OUTSIDE = "outside the years 0001 to 9999 that are read here"

# The first pattern that is found gives the reason, so the narrow ones come first.
_REASONS = [
    (r"^$", "No date was given."),
    (r"^\s|\s$", "A date has no space before or after it."),
    (r"^Y-?\d{1,4}(?!\d|E|S)", "“Y” is for years of more than four digits: write 1931, not Y1931."),
    (r"^Y-?\d+E", f"Exponent years (such as Y17E7) are {_OUTSIDE}."),
    (r"^Y-?\d", f"Years of more than four digits (Y…) are {_OUTSIDE}."),
    (r"^-\d{4}", f"Negative years are {_OUTSIDE}."),
    (r"\d+S\d", "Significant digits (such as 1950S2) are not read here: write 19XX."),
    (r"[{}]", "Sets of several dates ({…}) are not read here; “one of several” is written [1927,1928]."),
    (r"[()]", "Round brackets are from the draft of 2012: put ? or ~ beside the part they belong to."),
    (r"\?~|~\?", "Uncertain and approximate together is written %."),
    (r"^(unknown|open)\b|/(unknown|open)$", "Leave an unknown end empty and write an open end “..”."),
    (r"^[\dX]{2,3}[ux]+|-[ux]{2}", "Write a capital X for a digit that is not known: 193X."),
    (r"^\d{8}$", "Write the date with hyphens: 1931-04-01."),
    (r"^\d{5,}", "A year has four digits."),
    (r"^\d{1,3}(?!\d|X)", "A year has four digits: 1912, or 0985 for a very early one."),
    (r"^[^\[]*\]|^\[[^\]]*$", "A set of dates is written in square brackets: [1927,1928]."),
]


def why_refused(text: str) -> str:
    for pattern, reason in _REASONS:
        if re.search(pattern, text, re.ASCII):
            return reason
    return f"“{text:.40}” is not a date such as 1912, 1912-05, 1912~, 191X or 1910/1914."


def why_no_month(code: int) -> str:
    if code in _OTHER_SEASONS:
        return (
            f"Code {code} (seasons by hemisphere, quarters, thirds and halves of a year) is not read here; "
            "21 to 24 are spring to winter."
        )
    return f"There is no month {code}."
