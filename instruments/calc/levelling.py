"""Recordings made equally loud to the ear: each is turned down to the quietest, so that none is cut off."""

from collections.abc import Sequence
from decimal import Decimal


def turned_down_db(loudness_lufs: Sequence[Decimal]) -> list[Decimal]:
    """By how many dB each is turned down, nothing or more, to a tenth."""
    quietest = min(loudness_lufs, default=Decimal(0))
    return [round(each - quietest, 1) for each in loudness_lufs]
