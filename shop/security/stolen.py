"""Passwords that were stolen elsewhere and are long enough for us, which is where guessing begins.

`stolen_long.sha256` holds the first six bytes of the SHA-256 of each, in small letters, in order: no word
of it can be read. It is written by `python -m tests.trust.stolen_passwords`, which names its source.
"""

import hashlib
from functools import cache
from pathlib import Path

KEPT = Path(__file__).parent / "stolen_long.sha256"
BYTES = 6  # of 2^48 marks some 2^15 are taken: one honest password in ten thousand million is refused wrongly
TAILS = "0123456789!?.*$#_- "  # what people hang on to an old one


def mark(password: str) -> bytes:
    """Without capitals and the blanks around it, as lists of this kind are tried."""
    return hashlib.sha256(password.strip().lower().encode()).digest()[:BYTES]


def is_stolen(password: str) -> bool:
    """Whether it is one of them, as it is or with signs hung on to its end."""
    return any(_has(mark(each)) for each in {password, password.rstrip(TAILS)})


@cache
def _marks() -> bytes:
    return KEPT.read_bytes()


def count() -> int:
    return len(_marks()) // BYTES


def _has(wanted: bytes) -> bool:
    marks, low, high = _marks(), 0, count()
    while low < high:
        middle = (low + high) // 2
        if marks[middle * BYTES : (middle + 1) * BYTES] < wanted:
            low = middle + 1
        else:
            high = middle
    return marks[low * BYTES : (low + 1) * BYTES] == wanted
