"""Minutes as people write them at the bench."""

import re

_HOURS_AND_MINUTES = re.compile(
    r"(\d{1,3})\s*(?:h|hrs?|hours?|:)\s*(\d{1,2})?\s*(?:m|min|mins|minutes)?", re.ASCII
)
_HOURS = re.compile(r"(\d{1,3})[.,](\d{1,2})\s*(?:h|hrs?|hours?)", re.ASCII)
_MINUTES = re.compile(r"(\d{1,4})\s*(?:m|min|mins|minutes)?", re.ASCII)


def parse_minutes(text: str) -> int:
    """Minutes from "90", "90 min", "1 h 30", "1:30", "2 h" or "1.5 h"; a bare number counts minutes.

    Decimal hours are rounded to the nearest minute, half up. ValueError with a sentence otherwise.
    """
    typed = " ".join(text.casefold().split())
    if read := _MINUTES.fullmatch(typed):
        return int(read[1])
    if read := _HOURS.fullmatch(typed):
        hundredths = int(read[2].ljust(2, "0"))
        return int(read[1]) * 60 + (hundredths * 60 + 50) // 100
    if (read := _HOURS_AND_MINUTES.fullmatch(typed)) and int(read[2] or 0) < 60:
        return int(read[1]) * 60 + int(read[2] or 0)
    raise ValueError(f"“{text.strip():.20}” is not a time: write 90, 1 h 30 or 1:30.")


def minutes_words(minutes: int) -> str:
    """95 -> "1 h 35", 120 -> "2 h", 20 -> "20 min"."""
    sign, (whole, rest) = ("-" if minutes < 0 else ""), divmod(abs(minutes), 60)
    if not whole:
        return f"{sign}{rest} min"
    return f"{sign}{whole} h {rest:02d}" if rest else f"{sign}{whole} h"
