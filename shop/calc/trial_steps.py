"""The life of a home trial as a line of steps: what is done, on which day, and the one thing that is next.

The order is common practice of the trade, no source. A step that a later one has overtaken is passed over,
and says so: nobody can count the stairs before a delivery that has been made. Past its last day nothing
matters before the one question: do they keep it, exchange it, or does it come back?
"""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

DONE, NOW, LATER, PASSED, NOT_NEEDED = "done", "now", "later", "passed", "not needed"
KEPT = "kept"
SHEET = "Hand-over condition sheet"
STARTED = "the agreement, and what is paid at the start"
SIGNED = "the customer's signature on the agreement"
UNSAID = "not written down"
TOO_LATE = "no report was written as it came back; one written now would say nothing of the trial"


@dataclass(frozen=True)
class Known:
    """What is on file of one trial. A day is None where nothing is."""

    drafted_on: date
    ends_on: date
    access_on: date | None = None
    mover_on: date | None = None  # the day agreed with the mover
    handed_over_on: date | None = None  # the hand-over condition report, closed
    is_sheet_open: bool = False  # begun and not closed
    started_on: date | None = None
    signed_on: date | None = None
    is_there: bool = False  # the instrument's whereabouts say: at the customer's, on this trial
    delivered_on: date | None = None
    chosen_on: date | None = None
    outcome: str = ""
    mover_back_on: date | None = None
    collected_on: date | None = None
    compared_on: date | None = None  # the report of the return, closed, beside that of the hand-over
    is_too_late_to_compare: bool = False
    settled_on: date | None = None
    still_open: str = ""  # what the ledger says is open, in words
    today: date | None = None

    @property
    def days_late(self) -> int:
        """Days past the last day, while nobody has said how it ends; 0 before."""
        is_running = self.started_on and not self.chosen_on and not self.collected_on
        return max(0, (self.today - self.ends_on).days) if self.today and is_running else 0

    @property
    def has_lapsed(self) -> bool:
        """A draft whose last day has come: it cannot start as it stands."""
        return bool(self.today and not self.started_on and self.ends_on <= self.today)

    @property
    def is_back(self) -> bool:
        return self.chosen_on is not None and not self.is_there


@dataclass(frozen=True)
class Step:
    code: str
    name: str
    standing: str
    day: date | None = None
    words: str = ""

    @property
    def is_now(self) -> bool:
        return self.standing == NOW


@dataclass(frozen=True)
class _Asked:
    """A step before it is known which is next: `passed` where a later one overtook it."""

    code: str
    name: str
    day: date | None
    waits_for: str
    passed: bool = False
    passed_words: str = ""
    needed: bool = True


def steps_of(known: Known) -> tuple[Step, ...]:
    """Every step in order. At most one is NOW: the first that is neither done, passed over nor needless."""
    placed, is_found = [], False
    for asked in _in_order(known):
        standing = _standing(asked, is_found)
        is_found = is_found or standing == NOW
        placed.append(Step(asked.code, asked.name, standing, asked.day, _words(asked, standing)))
    return tuple(placed)


def step_now(steps: Iterable[Step]) -> Step | None:
    """The one that is next; None when the trial is settled."""
    return next((step for step in steps if step.is_now), None)


def _in_order(known: Known) -> list[_Asked]:
    choice = _choice(known)
    back = [_mover_back(known), _collected(known), _compared(known)]
    comes_back_first = (known.mover_back_on or known.collected_on) and not known.chosen_on
    home = [*back, choice] if comes_back_first else [choice, *back]
    return [*_before_it_leaves(known), *home, _settled(known)]


def _before_it_leaves(known: Known) -> list[_Asked]:
    over, late, lapsed = known.chosen_on is not None, bool(known.days_late), known.has_lapsed
    is_back = known.collected_on is not None  # nothing of its going out is asked for any more
    gone = bool(known.is_there or known.delivered_on or over or late or lapsed or is_back)
    unsaid = f"{UNSAID} before it ended; not needed any more" if over else UNSAID
    way_in, mover = "the steps, turns and doors on the way in", "who moves it, on which day, for what"
    there = "the day, who received it, the room, its air"
    started = "other days first: its last day has come" if lapsed else STARTED
    return [
        _Asked("drafted", "Drafted", known.drafted_on, ""),
        _Asked("access", "Access asked for", known.access_on, way_in, gone, unsaid),
        _Asked("mover", "Mover agreed", known.mover_on, mover, gone, unsaid),
        _Asked("started", "Agreed and paid", known.started_on, started),
        _Asked("signed", "Signed", known.signed_on, SIGNED, over or late or is_back, unsaid),
        _handed_over(known, late, unsaid),
        _Asked("delivered", "Delivered", known.delivered_on, there, over or late or is_back, unsaid),
    ]


def _handed_over(known: Known, late: bool, unsaid: str) -> _Asked:
    """A report that was begun is closed, however late, until nothing is compared with it any more."""
    if known.is_sheet_open:
        settled = known.outcome == KEPT and known.settled_on
        passed = bool(late or known.compared_on or known.is_too_late_to_compare or settled)
        waits = "its condition report to be closed; left open, it proves nothing"
        return _Asked("handed_over", SHEET, None, waits, passed, "begun, and never closed")
    waits = "the condition report before it is loaded, for both to sign"
    passed = bool(known.delivered_on or known.chosen_on or known.collected_on or late)
    return _Asked("handed_over", SHEET, known.handed_over_on, waits, passed, unsaid)


def _choice(known: Known) -> _Asked:
    if known.collected_on:
        waits = f"its settlement: it was collected on {known.collected_on:%-d %B %Y}"
        return _Asked("chosen", "Told their choice", known.chosen_on, waits)
    by = f"{known.ends_on:%-d %B %Y}"
    if late := known.days_late:
        by = f"{by}; that is {late} day{'' if late == 1 else 's'} ago"
    return _Asked("chosen", "Told their choice", known.chosen_on, f"keep, exchange or return, by {by}")


def _mover_back(known: Known) -> _Asked:
    passed = known.collected_on is not None or known.compared_on is not None or known.is_back
    words, back = "who fetches it, on which day", f"{UNSAID}; it is back"
    day, needed = known.mover_back_on, known.outcome != KEPT
    return _Asked("mover_back", "Mover for the way back", day, words, passed, back, needed)


def _collected(known: Known) -> _Asked:
    passed, needed = known.compared_on is not None or known.is_back, known.outcome != KEPT
    words, back = "the day it is fetched", f"its day was {UNSAID}; it is back"
    return _Asked("collected", "Collected", known.collected_on, words, passed, back, needed)


def _compared(known: Known) -> _Asked:
    waits = "the report as it came back, beside that of the hand-over"
    if known.collected_on and not known.handed_over_on:
        waits = "the report as it came back; none was written at the hand-over"
    passed, needed = known.is_too_late_to_compare, known.outcome != KEPT
    return _Asked("compared", "Condition compared", known.compared_on, waits, passed, TOO_LATE, needed)


def _settled(known: Known) -> _Asked:
    return _Asked(
        "settled", "Settled", known.settled_on, known.still_open or "what is still open in the ledger"
    )


def _standing(asked: _Asked, is_found: bool) -> str:
    if asked.day:
        return DONE
    if not asked.needed:
        return NOT_NEEDED
    if asked.passed:
        return PASSED
    return LATER if is_found else NOW


def _words(asked: _Asked, standing: str) -> str:
    if standing in {NOW, LATER}:
        return f"waits for {asked.waits_for}"
    if standing == PASSED:
        return asked.passed_words
    return "not needed: they keep it" if standing == NOT_NEEDED else ""
