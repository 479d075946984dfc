"""What a dated claim says of the making: it lies within a making's date, after a patent, before all else."""

from datetime import date

from instruments.calc.dating import Bound
from instruments.calc.evidence.claims import EVENTS, STRETCHES, Claim
from instruments.calc.evidence.days import FIRST, LAST, event_box, stretch_reach


def making_bounds(claim: Claim, reason: str = "") -> list[Bound]:
    """The years that a claim puts the making "not before" and "not after"; [] when it says nothing of it.

    Doubt widens first ("about 1912" says not before 1901, not after 1923), so that nothing is cut too close.
    What lasted must have begun after the making, so the last day it can have begun on counts.
    """
    if not claim.edtf:
        return []
    bounds = []
    if claim.asserts in {"made", "patent"}:
        bounds += _bound("not before", event_box(claim.edtf).low, reason)
    if claim.asserts == "made" or claim.asserts in EVENTS:
        bounds += _bound("not after", event_box(claim.edtf).high, reason)
    if claim.asserts in STRETCHES:
        bounds += _bound("not after", stretch_reach(claim.edtf).starts_by, reason)
    return bounds


def _bound(side: str, day: int, reason: str) -> list[Bound]:
    """Nothing where the date is open on that side."""
    return [] if day in (FIRST, LAST) else [Bound(side, date.fromordinal(day).year, reason)]
