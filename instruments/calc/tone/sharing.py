"""How the power of a note is shared among its partials, from levels in dB below the loudest of them."""

from collections.abc import Iterable

from instruments.calc.tone.bounds import LOW, MIDDLE


def shares_percent(partials: Iterable[tuple[int, float]]) -> tuple[int, int, int]:
    """Whole per cent in partials 1 to 3, 4 to 8 and above, from (number, dB); they add up to 100."""
    power = [(number, 10 ** (db / 10)) for number, db in partials]
    whole = sum(each for _, each in power)
    if not whole:
        raise ValueError("A note has at least one partial.")
    low = round(100 * sum(each for number, each in power if number <= LOW) / whole)
    high = round(100 * sum(each for number, each in power if number > MIDDLE) / whole)
    return low, 100 - low - high, high
