"""Readings of pins, pitch and wire pasted as text: one key a line, then its figures."""

import re
from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from typing import TypeVar

from instruments.calc.compass import note_label, parse_keys
from instruments.calc.exact import exact

MOST_LINES = 400
MOST_STRINGS = 3  # of one key

_BREAK = re.compile(r"[\s;|]+")
_HEADING = re.compile(r"(key|note|pin)\b", re.IGNORECASE)
_COVERED = re.compile(r"covered|wound|copper|wrapped", re.IGNORECASE)
_UNITS = re.compile(r"(n·?m|hz|cents?|ct|mm|¢)$", re.IGNORECASE)

Read = TypeVar("Read")


@dataclass(frozen=True)
class PinLine:
    key: int
    string: int
    torque: Decimal


@dataclass(frozen=True)
class PitchLine:
    key: int
    value: Decimal


@dataclass(frozen=True)
class WireLine:
    """`size` is a diameter or a gauge number, as the person said above the lines."""

    key: int
    length_mm: Decimal
    size: Decimal
    strings: int


def figure(text: str, what: str) -> Decimal:
    """A number typed with point or comma, a real minus, and a unit behind it or not. ValueError otherwise."""
    typed = text.strip()
    number = _UNITS.sub("", typed).strip().replace(",", ".").replace("\N{MINUS SIGN}", "-")
    try:
        return exact(number, what)
    except ValueError:
        raise ValueError(f"“{typed:.20}” is not a number.") from None


def pin_lines(text: str, first_key: int, key_count: int) -> tuple[list[PinLine], list[str]]:
    """The pins of "C4/2 9.5" (key, string, torque) or "C4 9.5 9.1 8.8" (its strings), and what was not read.

    Strings count from the left; a dash passes one over. Keys as in `compass.parse_keys`.
    """
    read, sentences = _lines(text, lambda words: _pins(words, first_key, key_count))
    return [pin for pins in read for pin in pins], sentences


def pitch_lines(text: str, first_key: int, key_count: int) -> tuple[list[PitchLine], list[str]]:
    """The notes of "A4 437.2" or "A4 −12" a line, in the unit said above them."""
    return _lines(text, lambda words: _pitch(words, first_key, key_count))


def wire_lines(text: str, first_key: int, key_count: int) -> tuple[list[WireLine], list[str]]:
    """The wires of "C4 620 1.05" or "C4 620 1.05 x2": key, speaking length in mm, size, how many strings.

    Three strings where none is said. A covered string is refused: plain wire only can be reckoned.
    """
    return _lines(text, lambda words: _wire(words, first_key, key_count))


def _lines(text: str, read: Callable[[list[str]], Read]) -> tuple[list[Read], list[str]]:
    lines, found, sentences = text.splitlines(), [], []
    if len(lines) > MOST_LINES:
        return [], [f"That is {len(lines)} lines; at most {MOST_LINES} are read."]
    for number, line in enumerate(lines, start=1):
        if not line.strip() or (number == 1 and _HEADING.match(line.strip())):
            continue
        try:
            found.append(read(_BREAK.split(line.strip())))
        except ValueError as reason:
            sentences.append(f"Line {number}: {reason}")
    return found, sentences


def _pins(words: list[str], first_key: int, key_count: int) -> list[PinLine]:
    name, slash, string = words[0].partition("/")
    key = _one_key(name, first_key, key_count)
    if slash:
        if string not in {"1", "2", "3"}:
            raise ValueError(f"“{words[0]:.20}”: a key has strings 1 to {MOST_STRINGS}.")
        if len(words) != 2:
            raise ValueError(f"“{' '.join(words):.40}” should be a key, a stroke, a string and one figure.")
        return [PinLine(key, int(string), figure(words[1], "torque"))]
    if not 2 <= len(words) <= 1 + MOST_STRINGS:
        raise ValueError(f"“{' '.join(words):.40}” should be a key and one to three figures.")
    typed = [(string, word) for string, word in enumerate(words[1:], start=1) if word not in {"-", "–", "—"}]
    return [PinLine(key, string, figure(word, "torque")) for string, word in typed]


def _pitch(words: list[str], first_key: int, key_count: int) -> PitchLine:
    if len(words) == 3 and _UNITS.fullmatch(words[2]):
        words = words[:2]
    if len(words) != 2:
        raise ValueError(f"“{' '.join(words):.40}” should be a key and one figure.")
    return PitchLine(_one_key(words[0], first_key, key_count), figure(words[1], "pitch"))


def _wire(words: list[str], first_key: int, key_count: int) -> WireLine:
    if any(_COVERED.search(word) for word in words):
        raise ValueError(
            "A covered string cannot be reckoned as plain wire: its core and its wrap are needed."
        )
    if not 3 <= len(words) <= 4:
        raise ValueError(f"“{' '.join(words):.40}” should be a key, a length and a size.")
    strings = words[3].casefold().strip("x×") if len(words) == 4 else str(MOST_STRINGS)
    if strings not in {"1", "2", "3"}:
        raise ValueError(f"“{words[3]:.20}” is not one, two or three strings: write x1, x2 or x3.")
    key = _one_key(words[0], first_key, key_count)
    return WireLine(key, figure(words[1], "length"), figure(words[2], "size"), int(strings))


def _one_key(word: str, first_key: int, key_count: int) -> int:
    keys = parse_keys(word, first_key, key_count)
    if len(keys) != 1:
        raise ValueError(f"“{word:.20}” is not one key.")
    return keys[0]


def pin_name(key: int, string: int) -> str:
    """A pin as it is called at the bench: C4, string 2."""
    return f"{note_label(key)}, string {string}"
