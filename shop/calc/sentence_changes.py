"""Two versions of a text held side by side, sentence by sentence."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher

SAME, NEW, CHANGED, GONE = "same", "new", "changed", "gone"
ALIKE_PERCENT = 55  # of one wording to the next: from there on a sentence was changed and not replaced


@dataclass(frozen=True)
class Change:
    kind: str
    before: str = ""
    after: str = ""


def changes(before: Sequence[str], after: Sequence[str]) -> list[Change]:
    """Every sentence of both, in the order of `after`; what has gone stands where it stood."""
    found: list[Change] = []
    for tag, first, last, begin, end in SequenceMatcher(None, before, after, autojunk=False).get_opcodes():
        if tag == "equal":
            found += [Change(SAME, each, each) for each in after[begin:end]]
        else:
            found += _between(before[first:last], after[begin:end])
    return found


def _between(gone: Sequence[str], new: Sequence[str]) -> Iterable[Change]:
    """Each new sentence takes the most alike of those that went, if there is one alike enough."""
    left, found = list(gone), []
    for sentence in new:
        alike = max(left, key=lambda each: _likeness(each, sentence), default="")
        if alike and _likeness(alike, sentence) >= ALIKE_PERCENT:
            left.remove(alike)
            found.append(Change(CHANGED, alike, sentence))
        else:
            found.append(Change(NEW, "", sentence))
    return [*(Change(GONE, each) for each in left), *found]


def _likeness(one: str, other: str) -> float:
    """Of their words, in percent."""
    words = one.casefold().split(), other.casefold().split()
    return SequenceMatcher(None, *words, autojunk=False).ratio() * 100
