"""What a life line is called and says, for those who hear it."""

from collections import Counter
from collections.abc import Sequence
from datetime import date

from instruments.calc.edtf import describe
from instruments.drawings.life_line.entries import KINDS, MARKS, Entry, in_order

NOTHING_DATED = "Nothing on file has a date yet."


def name(subject: str) -> str:
    return f"Life line of {subject}"


def description(entries: Sequence[Entry], today: date) -> str:
    """How many entries of which kind, and the first and the last of them."""
    dated = [entry for entry, _ in in_order(entries, today)]
    if not dated:
        return NOTHING_DATED
    counts = Counter(KINDS[entry.kind] or MARKS[entry.mark] for entry in dated)
    listed = ", ".join(f"{count} {words}" for words, count in counts.items())
    noun = "entry" if len(dated) == 1 else "entries"
    ends = f"It begins with {_said(dated[0])}"
    if len(dated) > 1:
        ends += f" and ends with {_said(dated[-1])}"
    return f"{len(dated)} {noun}: {listed}. {ends}. The table below says the same in words."


def _said(entry: Entry) -> str:
    return f"“{entry.label}” ({describe(entry.dated)})"
