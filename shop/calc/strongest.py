"""Which few facts of an instrument a card in the window names: what was measured before what was only seen.

Nothing is worded here; what comes in stands already. A fact too long to be read through a pane is passed
over and never cut.
"""

from collections.abc import Iterable, Sequence

LONGEST = 80


def strongest(
    *, measured: Sequence[str] = (), stood: Sequence[str] = (), plain: Sequence[str] = (), most: int = 3
) -> list[str]:
    """At most `most` facts, one of each kind in turn so that they do not all say the same.

    `measured`: what was measured of it; `stood`: statements that bore testing; `plain`: what it is by
    construction and what was done to it. Each in its own order, the weightiest first.
    """
    kinds = [_fitting(measured), _fitting(stood), _fitting(plain)]
    chosen: list[str] = []
    while len(chosen) < most and any(kinds):
        for kind in kinds:
            if kind and len(chosen) < most:
                chosen.append(kind.pop(0))
    return chosen


def _fitting(facts: Iterable[str]) -> list[str]:
    lines = dict.fromkeys(" ".join(fact.split()) for fact in facts)
    return [line for line in lines if line and len(line) <= LONGEST]
