"""Dates people half know, in EDTF (ISO 8601-2:2019; Library of Congress, 4 Feb 2019).

Read here: levels 0 and 1 for the years 0001 to 9999, and of level 2 the one-of sets, the marks on single
parts and X in any place. Everything else in the standard is refused by its name.
"""

from datetime import date

from instruments.calc.edtf.grammar import Interval, OneOf, Point, parse
from instruments.calc.edtf.plain import from_plain_words
from instruments.calc.edtf.words import describe

__all__ = ["Interval", "OneOf", "Point", "bounds", "describe", "from_plain_words", "is_hedged", "parse"]


def bounds(text: str) -> tuple[date | None, date | None]:
    """The earliest and the latest day the text allows; None where that end is open or unknown.

    The marks ? ~ % have no width in the standard and move nothing. X stands for every digit, so "193X" runs
    from 1930-01-01 to 1939-12-31. The standard gives seasons no months; here spring (21) is March to May,
    summer (22) June to August, autumn (23) September to November, winter (24) December to the next February.
    ValueError gives the reason in a sentence.
    """
    found = parse(text)
    return found.earliest, found.latest


def is_hedged(text: str) -> bool:
    """Whether any part is marked uncertain or approximate, so that the bounds alone prove nothing."""
    return parse(text).hedged
