"""Statements that cannot all be true, whatever days inside their dates one chooses.

What is assumed, and nothing more: an instrument was made on one day by one maker, before anything else befell
it; it had one owner at a time, two may share the day it changed hands; an owner has work done only while
owning it; a part called the first one had not been renewed before; a patented feature in it was built in when
it was made, and so not before its patent. A serial number may be out by less than twenty years. Dates are the
bounds of `days`, so what is open, unknown or in doubt can be bent to fit.

With these assumptions it is enough to look at pairs, and for ownership at the four claims that fix the ends
of two owners' times; each function below says which pair.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from instruments.calc.evidence import sentences
from instruments.calc.evidence.claims import EVENTS, STRETCHES, Claim
from instruments.calc.evidence.days import Box, event_box, stretch_reach
from instruments.calc.evidence.ownership import ownership_conflicts

SERIAL_YEARS = 20
_NEARLY_SERIAL_YEARS = 7304  # in days: no twenty years are shorter


@dataclass(frozen=True, slots=True)
class Conflict:
    """Claims that exclude each other, by their keys, and a sentence for the file: it quotes them."""

    claims: tuple[Claim, ...]
    kind: str
    sentence: str


def conflicts(claims: Iterable[Claim]) -> list[Conflict]:
    """The smallest conflicts, whatever the order of the claims; [] when some choice of days fits them all."""
    found = list(_all(sorted(claims, key=_order)))
    groups = {frozenset(group) for _, group, _ in found}
    smallest = {
        Conflict(tuple(sorted(group, key=_order)), kind, sentence)
        for kind, group, sentence in found
        if len(group) == 2 or not any(smaller < frozenset(group) for smaller in groups)
    }
    return sorted(smallest, key=lambda conflict: ([*map(_order, conflict.claims)], conflict.kind))


def _order(claim: Claim) -> tuple[str, str]:
    return claim.key, claim.text


def _all(claims: Sequence[Claim]) -> Iterator[tuple[str, tuple[Claim, ...], str]]:
    yield from _two_makers(claims)
    yield from _made_twice(claims)
    yield from _before_it_was_made(claims)
    yield from _before_its_patent(claims)
    yield from _called_original_after_renewal(claims)
    yield from ownership_conflicts(claims)


def _two_makers(claims: Sequence[Claim]) -> Iterator[tuple]:
    makers = [claim for claim in claims if claim.asserts == "maker" and claim.person]
    for one, other in combinations(makers, 2):
        if one.person != other.person:
            yield "two makers", (one, other), sentences.two_makers(one, other)


def _made_twice(claims: Sequence[Claim]) -> Iterator[tuple]:
    """Days on a line meet in one point when each two do, so pairs suffice."""
    dated = [(claim, _made_box(claim)) for claim in claims if _dates_the_making(claim)]
    for (one, box), (other, other_box) in combinations(dated, 2):
        if box.low > other_box.high or other_box.low > box.high:
            if "serial" in (one.asserts, other.asserts):
                yield "serial far off", (one, other), sentences.serial_far_off(one, other, SERIAL_YEARS)
            else:
                yield "made twice", (one, other), sentences.made_twice(one, other)


def _before_it_was_made(claims: Sequence[Claim]) -> Iterator[tuple]:
    """The day it was made comes before each other day by itself: one earliest day against one latest."""
    dated = [(claim, _made_box(claim).low) for claim in claims if _dates_the_making(claim)]
    for claim in claims:
        latest = _latest_start(claim)
        for made, earliest in dated:
            if latest is not None and latest < earliest:
                yield "before it was made", (made, claim), sentences.before_it_was_made(claim, made)


def _before_its_patent(claims: Sequence[Claim]) -> Iterator[tuple]:
    """The making lies between the patent and all else: one earliest day against one latest."""
    patents = [claim for claim in claims if claim.asserts == "patent" and claim.edtf]
    for claim in claims if patents else ():
        latest = _made_box(claim).high if _dates_the_making(claim) else _latest_start(claim)
        for patent in patents:
            if latest is not None and latest < event_box(patent.edtf).low:
                yield "before its patent", (patent, claim), sentences.before_its_patent(claim, patent)


def _called_original_after_renewal(claims: Sequence[Claim]) -> Iterator[tuple]:
    """The latest day of a renewal lies before the earliest day on which the part is called the first one.

    An owner's renewal was done by the end of that owner's last time, whatever its own date leaves open.
    """
    first_parts = [claim for claim in claims if claim.asserts == "original" and claim.edtf]
    renewals = [claim for claim in claims if claim.asserts in {"restrung", "replaced"}]
    for first in first_parts:
        earliest = event_box(first.edtf).low
        for renewal in (each for each in renewals if each.part == first.part):
            if event_box(renewal.edtf).high < earliest:
                yield "called original", (first, renewal), sentences.called_original(first, renewal)
                continue
            times = [each for each in claims if each.asserts == "owned" and _is_of_one_person(each, renewal)]
            if times and all(stretch_reach(time.edtf).end.high < earliest for time in times):
                group = (first, renewal, *times)
                yield "called original", group, sentences.called_original(first, renewal, times)


def _is_of_one_person(one: Claim, other: Claim) -> bool:
    return bool(one.person) and one.person == other.person


def _dates_the_making(claim: Claim) -> bool:
    return claim.asserts in {"made", "serial"} and bool(claim.edtf)


def _made_box(claim: Claim) -> Box:
    box = event_box(claim.edtf)
    return box.widened(_NEARLY_SERIAL_YEARS) if claim.asserts == "serial" else box


def _latest_start(claim: Claim) -> int | None:
    """The last day on which what the claim tells of can have begun; None for what has no day of its own."""
    if not claim.edtf:
        return None
    if claim.asserts in STRETCHES:
        return stretch_reach(claim.edtf).starts_by
    if claim.asserts in EVENTS or claim.asserts == "original":
        return event_box(claim.edtf).high
    return None
