"""Weigh-off readings pasted as text: one key a line, its down-weight and its up-weight in grams."""

import re
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation

from instruments.calc.compass import parse_keys

MOST_LINES = 200
MOST_DIGITS = 6
NO_RETURN = {"-", "–", "—", "x", "none", "no"}

_BREAK = re.compile(r"[\s;|]+")
_HEADING = re.compile(r"(key|note)\b", re.IGNORECASE)


@dataclass(frozen=True)
class LineReading:
    line: int
    key: int
    down_g: Decimal
    up_g: Decimal | None


def parse_reading_lines(text: str, first_key: int, key_count: int) -> tuple[list[LineReading], list[str]]:
    """The readings of "40 52 28" or "C4 52,5 -" a line, and a sentence for each line that was not understood.

    Keys are numbered from this instrument's own lowest, or named as notes; the answer holds 88-key numbers.
    A missing up-weight or a dash says that the key did not return by itself. Empty lines and a heading that
    begins with "key" or "note" are passed over.
    """
    readings, sentences = [], []
    lines = text.splitlines()
    if len(lines) > MOST_LINES:
        return [], [f"That is {len(lines)} lines; at most {MOST_LINES} are read."]
    for number, line in enumerate(lines, start=1):
        if not line.strip() or (number == 1 and _HEADING.match(line.strip())):
            continue
        try:
            readings.append(_reading(number, line, first_key, key_count))
        except ValueError as reason:
            sentences.append(f"Line {number}: {reason}")
    return readings, sentences


def _reading(number: int, line: str, first_key: int, key_count: int) -> LineReading:
    words = _BREAK.split(line.strip())
    if not 2 <= len(words) <= 3:
        raise ValueError(f"“{line.strip():.40}” should be a key, a down-weight and an up-weight.")
    keys = parse_keys(words[0], first_key, key_count)
    if len(keys) != 1:
        raise ValueError(f"“{words[0]:.20}” is not one key.")
    up = words[2] if len(words) == 3 else "-"
    return LineReading(number, keys[0], grams(words[1]), None if up.casefold() in NO_RETURN else grams(up))


def grams(text: str) -> Decimal:
    """A weight typed with point or comma, with or without "g", to 0.1 g. ValueError when it is not one."""
    typed = text.strip()
    try:
        weight = Decimal(typed.casefold().removesuffix("g").strip().replace(",", "."))
    except InvalidOperation:
        weight = Decimal("NaN")
    if not weight.is_finite() or weight.adjusted() > MOST_DIGITS:
        raise ValueError(f"“{typed:.20}” is not a weight in grams.")
    if weight.normalize().as_tuple().exponent < -1:
        raise ValueError(f"“{typed:.20}” is finer than a tenth of a gram.")
    return weight
