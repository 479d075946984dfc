"""Weigh-off readings as text: lines that name their key, and bare columns of weights."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation

from instruments.calc.compass import note_label, parse_keys, top_key

MOST_LINES = 200
MOST_DIGITS = 6
NOT_LIFTED_G = Decimal(0)  # what a key lifts that does not return by itself
NO_RETURN = {"-", "–", "—", "x", "none", "no"}
DOWN, UP = "down", "up"

_BREAK = re.compile(r"[\s;|]+")
_HEADING = re.compile(r"(key|note)\b", re.IGNORECASE)
_COLUMN_HEADING = re.compile(r"(down|up|dw|uw)\b", re.IGNORECASE)


@dataclass(frozen=True)
class LineReading:
    """What a line says of a key; a weight it does not give is None."""

    line: int
    key: int
    down_g: Decimal | None
    up_g: Decimal | None


def parse_reading_lines(text: str, first_key: int, key_count: int) -> tuple[list[LineReading], list[str]]:
    """The readings of "40 52 28" or "C4 52,5 -" a line, and a sentence for each line that was not understood.

    Keys are numbered from this instrument's own lowest, or named as notes; the answer holds 88-key numbers.
    A dash says that the key did not return by itself, which is 0 g up; no up-weight, that it was not taken.
    Empty lines and a heading that begins with "key" or "note" are passed over.
    """
    return _read(text, _HEADING, lambda number, line: _reading(number, line, first_key, key_count))


def parse_reading_column(
    text: str,
    first_key: int,
    key_count: int,
    *,
    columns: Sequence[str] = (DOWN,),
    from_key: int | None = None,
) -> tuple[list[LineReading], list[str]]:
    """Weights without their keys, one key a line upwards from `from_key`: "52" or, with two columns, "52 28".

    Columns are "down" and "up". A line left empty, or with a dot alone, is a key that was not weighed.
    """
    keys = iter(range(from_key or first_key, top_key(first_key, key_count) + 1))

    def read(number: int, line: str) -> LineReading | None:
        key = next(keys, None)
        if key is None:
            raise ValueError(f"The keyboard ends at {note_label(top_key(first_key, key_count))}.")
        return _weights(number, key, line, columns)

    return _read(text.rstrip(), _COLUMN_HEADING, read, empty_is_a_key=True)


def _read(
    text: str, heading: re.Pattern, read, *, empty_is_a_key=False
) -> tuple[list[LineReading], list[str]]:
    lines = text.splitlines()
    if len(lines) > MOST_LINES:
        return [], [f"That is {len(lines)} lines; at most {MOST_LINES} are read."]
    readings, sentences = [], []
    for number, line in _worth_reading(lines, heading, empty_is_a_key):
        try:
            readings.append(read(number, line))
        except ValueError as reason:
            sentences.append(f"Line {number}: {reason}")
    return [reading for reading in readings if reading], sentences


def _worth_reading(lines: list[str], heading: re.Pattern, empty_too: bool) -> Iterator[tuple[int, str]]:
    for number, line in enumerate(lines, start=1):
        is_heading = number == 1 and heading.match(line.strip())
        if not is_heading and (empty_too or line.strip()):
            yield number, line.strip()


def _reading(number: int, line: str, first_key: int, key_count: int) -> LineReading:
    words = _BREAK.split(line)
    if not 2 <= len(words) <= 3:
        raise ValueError(f"“{line:.40}” should be a key, a down-weight and an up-weight.")
    keys = parse_keys(words[0], first_key, key_count)
    if len(keys) != 1:
        raise ValueError(f"“{words[0]:.20}” is not one key.")
    up = up_grams(words[2]) if len(words) == 3 else None
    return LineReading(number, keys[0], grams(words[1]), up)


def _weights(number: int, key: int, line: str, columns: Sequence[str]) -> LineReading | None:
    words = _BREAK.split(line) if line not in {"", "."} else []
    if not words:
        return None
    if len(words) > len(columns):
        count = "one weight" if len(columns) == 1 else "a down-weight and an up-weight"
        raise ValueError(f"“{line:.40}” should be {count}.")
    given = dict(zip(columns, words, strict=False))
    down, up = given.get(DOWN), given.get(UP)
    return LineReading(number, key, grams(down) if down else None, up_grams(up) if up else None)


def up_grams(text: str) -> Decimal:
    """An up-weight, or the dash of a key that does not return. ValueError when it is neither."""
    return NOT_LIFTED_G if text.strip().casefold() in NO_RETURN else grams(text)


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
