"""One owner at a time, and an owner's work inside the owner's time.

Each owner's block is what is said of one time of owning: it must begin by the earliest of the latest days and
last to the latest of the earliest days among its claims. Two blocks exclude each other when each must last
beyond the other's beginning. Four claims at most fix those four days.

With many acts on file those four could be chosen in countless ways. What is reported is each act against the
claims that fix the other owner's days, so that every claim in conflict is named and no list explodes.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, product

from instruments.calc.evidence import sentences
from instruments.calc.evidence.claims import EVENTS, Claim
from instruments.calc.evidence.days import Box, event_box, stretch_reach


@dataclass(frozen=True, slots=True)
class Hold:
    """A claim that an owner had it: until `ends_from` at least and from `starts_by` at the latest."""

    claim: Claim
    starts_by: int
    ends_from: int


@dataclass(frozen=True, slots=True)
class Block:
    """What is said of one time of one owner; `stretch` ties the owner's acts together."""

    holds: tuple[Hold, ...]
    stretch: Claim | None = None

    @property
    def starts_by(self) -> int:
        return min(hold.starts_by for hold in self.holds)

    @property
    def ends_from(self) -> int:
        return max(hold.ends_from for hold in self.holds)

    @property
    def telling(self) -> set[Hold]:
        """The holds that fix its ends, and what ties them together."""
        first = min(self.holds, key=lambda hold: hold.starts_by)
        last = max(self.holds, key=lambda hold: hold.ends_from)
        return {first, last, *(hold for hold in self.holds if hold.claim == self.stretch)}

    def claims_behind(self, *holds: Hold) -> frozenset[Claim]:
        """The claims needed so that these ends belong to one time."""
        claims = frozenset(hold.claim for hold in holds)
        return claims | {self.stretch} if self.stretch and len(claims) > 1 else claims


def ownership_conflicts(claims: Sequence[Claim]) -> Iterator[tuple]:
    owners: dict[str, list[Claim]] = {}
    for claim in claims:
        if claim.person and claim.asserts in {"owned", *EVENTS}:
            owners.setdefault(claim.person, []).append(claim)
    blocks = {person: _blocks(own) for person, own in owners.items()}
    for own in owners.values():
        yield from _outside_own_time(own)
    for one, other in combinations(blocks.values(), 2):
        for pair in product(one, other):
            yield from _at_once(*pair)


def _outside_own_time(own: Sequence[Claim]) -> Iterator[tuple]:
    """An act that lies outside every time its owner is said to have had it."""
    stretches = [claim for claim in own if claim.asserts == "owned"]
    for act in (claim for claim in own if claim.asserts in EVENTS and claim.edtf and stretches):
        box = event_box(act.edtf)
        if all(_is_outside(box, stretch) for stretch in stretches):
            yield "outside the owner's time", (act, *stretches), sentences.outside_own_time(act, stretches)


def _is_outside(box: Box, stretch: Claim) -> bool:
    reach = stretch_reach(stretch.edtf)
    return box.low > reach.end.high or box.high < reach.start.low


def _blocks(own: Sequence[Claim]) -> list[Block]:
    """One block when one time is told of; with several, nobody knows which an act belongs to: each alone."""
    stretches = [claim for claim in own if claim.asserts == "owned"]
    holds = [_hold(claim) for claim in own]
    if len(stretches) == 1:
        return [Block(tuple(holds), stretches[0])]
    return [Block((hold,)) for hold in holds]


def _hold(claim: Claim) -> Hold:
    if claim.asserts == "owned":
        reach = stretch_reach(claim.edtf)
        return Hold(claim, reach.starts_by, reach.ends_from)
    box = event_box(claim.edtf)
    return Hold(claim, box.high, box.low)


def _at_once(one: Block, other: Block) -> Iterator[tuple]:
    """Both orders are barred: each block's last earliest day lies beyond the other's first latest day."""
    if one.ends_from <= other.starts_by or other.ends_from <= one.starts_by:
        return
    groups = set(_groups(one, one.telling, other, other.telling))
    for hold in one.holds:
        groups.update(_groups(one, {hold, *one.telling}, other, other.telling))
    for hold in other.holds:
        groups.update(_groups(one, one.telling, other, {hold, *other.telling}))
    for group in groups:
        if not any(smaller < group for smaller in groups):
            yield "two owners at once", tuple(group), sentences.two_owners_at_once(group)


def _groups(
    one: Block, mine: Iterable[Hold], other: Block, theirs: Iterable[Hold]
) -> Iterator[frozenset[Claim]]:
    """The claims behind each way in which two blocks, of these holds alone, exclude each other."""
    for late, early in product(mine, repeat=2):
        for other_late, other_early in product(theirs, repeat=2):
            if late.ends_from > other_early.starts_by and other_late.ends_from > early.starts_by:
                yield one.claims_behind(late, early) | other.claims_behind(other_late, other_early)
