"""When work will be finished: items laid one by one onto people's hours at the bench.

The method is the serial schedule generation scheme with a priority list (Kolisch, European Journal of
Operational Research 90, 1996, 320-333; named from memory): items are taken in an order in which nothing comes
before what it needs, otherwise by rank, and each gets the earliest free minutes of its person. Work may be
interrupted by the end of a day and go round what is laid already. The same input gives the same plan.

What holds: nothing starts before what it needs, nobody works beyond their hours, and no free minute of its
person is passed over. More minutes for an item never end that item earlier, and where one person does
everything, and work outside needs nothing of ours first, they end nothing earlier. With several people that
is not true of every other item: a lower-ranked one may slip into a gap that opened, as in any such list
(Graham, SIAM Journal on Applied Mathematics 17, 1969, 416-429; named from memory).
"""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import Enum

from workorders.calc.laid_hours import WHOLE_DAY, Bench, Key, LaidHours, Moment, Piece
from workorders.calc.sequence import working_sequence

LEAST_LEFT = 15


class Lack(Enum):
    """Why something has no day."""

    STATED = "what the job itself says is missing"
    NO_HOURS = "its person has no hours at the bench"
    NOBODY = "nobody has hours at the bench"
    TOO_FAR = "it does not fit into the next two years"


@dataclass(frozen=True)
class Job:
    """Work to be laid. Without minutes it is work outside: over at the end of the day it is promised for.

    `rank` decides who comes first (smaller first); `person` None means anybody; `missing` says why nobody can
    tell when it will be done.
    """

    key: Key
    minutes: int
    rank: tuple
    person: Key | None = None
    needs: frozenset = frozenset()
    not_before: date | None = None
    missing: str = ""


@dataclass(frozen=True)
class Placed:
    """Where a job came to lie, and what kept it from lying earlier.

    `need` is what it needed that ended last, `held_by` the job its person had immediately before it,
    `between` those that interrupt it.
    """

    key: Key
    person: Key | None
    pieces: tuple[Piece, ...]
    ready: Moment
    starts: Moment
    ends: Moment
    need: Key | None = None
    held_by: Key | None = None
    between: tuple[Key, ...] = ()

    @property
    def decided_by(self) -> Key | None:
        """What ends where this can start."""
        return self.need if self.held_by is None else self.held_by


@dataclass(frozen=True)
class NotPlaced:
    """Without a day: for its own lack, or because it waits for another (`behind`) that has none."""

    key: Key
    lack: Lack | None = None
    person: Key | None = None
    words: str = ""
    behind: Key | None = None


@dataclass
class Plan:
    placed: dict[Key, Placed] = field(default_factory=dict)
    not_placed: dict[Key, NotPlaced] = field(default_factory=dict)

    def finish_of(self, keys: Iterable[Key]) -> Moment | None:
        """The end of the last of these; None when one of them has no day, or there are none."""
        keys = list(keys)
        if not keys or any(key not in self.placed for key in keys):
            return None
        return max(self.placed[key].ends for key in keys)

    def lacks_of(self, keys: Iterable[Key]) -> list[NotPlaced]:
        """What stands at the root of these having no day, each once."""
        roots: dict[Key, NotPlaced] = {}
        for key in keys:
            found = self.not_placed.get(key)
            while found and found.behind is not None:
                found = self.not_placed[found.behind]
            if found:
                roots[found.key] = found
        return list(roots.values())


def minutes_left(estimate: int, spent: int) -> int:
    """What an open item still takes: the estimate less what was spent, at least 15 minutes (our floor)."""
    return max(estimate - max(spent, 0), LEAST_LEFT)


def wanted_days(needs: Mapping[Key, Collection[Key]], due: Mapping[Key, date | None]) -> dict[Key, date]:
    """By when each is wanted: its own day or that of whatever needs it, the earliest; date.max for none."""
    wanted = {key: day or date.max for key, day in due.items()}
    order = working_sequence(needs, {key: (repr(key),) for key in due})
    for key in reversed(order):
        for need in needs.get(key, ()):
            if need in wanted:
                wanted[need] = min(wanted[need], wanted[key])
    return wanted


def lay_out(
    jobs: Collection[Job], benches: Mapping[Key, Bench], *, on: date, used: Mapping[Key, int] | None = None
) -> Plan:
    """A day for every job from `on` onwards, within two years. Needs outside `jobs` hold nothing back.

    `benches` gives each person's minutes at the bench by day, `used` how many of today's are gone already.
    ValueError when jobs wait for one another.
    """
    by_key = {job.key: job for job in jobs}
    people = {
        person: LaidHours(minutes_on, on, (used or {}).get(person, 0))
        for person, minutes_on in benches.items()
    }
    plan = Plan()
    for key in working_sequence(
        {job.key: job.needs for job in jobs}, {job.key: (job.rank, repr(job.key)) for job in jobs}
    ):
        _lay(by_key[key], people, plan, on, known=by_key)
    return plan


def deciding_chain(plan: Plan, keys: Iterable[Key]) -> list[Placed]:
    """The jobs that decide when the last of these ends, first to last; [] when that is not known.

    Each starts where the one before it ends: because it needs it, or because its person has it first.
    """
    keys = list(keys)
    if plan.finish_of(keys) is None:
        return []
    last = max((plan.placed[key] for key in keys), key=lambda each: (each.ends, each.starts))
    chain = [last]
    while (before := chain[-1].decided_by) is not None:
        chain.append(plan.placed[before])
    return chain[::-1]


def _lay(job: Job, people: dict[Key, LaidHours], plan: Plan, on: date, *, known: Mapping) -> None:
    needs = sorted((need for need in job.needs if need in known), key=repr)
    behind = next((need for need in needs if need in plan.not_placed), None)
    if behind is not None:
        plan.not_placed[job.key] = NotPlaced(job.key, behind=behind)
        return
    if job.missing:
        plan.not_placed[job.key] = NotPlaced(job.key, Lack.STATED, job.person, job.missing)
        return
    need = max(needs, key=lambda each: plan.placed[each].ends, default=None)
    ready = max(Moment(on, 0), Moment(job.not_before or on, 0))
    if need is None or plan.placed[need].ends < ready:
        need = None
    else:
        ready = plan.placed[need].ends
    if not job.minutes:
        over = max(ready, Moment(ready.day, WHOLE_DAY))
        plan.placed[job.key] = Placed(job.key, None, (), ready, ready, over, need)
        return
    _lay_on_a_person(job, people, plan, ready, need)


def _lay_on_a_person(job: Job, people: dict[Key, LaidHours], plan: Plan, ready: Moment, need) -> None:
    may = [job.person] if job.person is not None else list(people)
    may = [person for person in may if person in people and people[person].has_any]
    if not may:
        lack = Lack.NOBODY if job.person is None else Lack.NO_HOURS
        plan.not_placed[job.key] = NotPlaced(job.key, lack, job.person)
        return
    ways = [(pieces[-1].ends, place, pieces) for place, pieces in _ways(job, people, may, ready)]
    if not ways:
        plan.not_placed[job.key] = NotPlaced(job.key, Lack.TOO_FAR, job.person)
        return
    ends, place, pieces = min(ways, key=lambda way: way[:2])
    hours = people[may[place]]
    plan.placed[job.key] = Placed(
        key=job.key,
        person=may[place],
        pieces=tuple(pieces),
        ready=ready,
        starts=pieces[0].starts,
        ends=ends,
        need=need,
        held_by=hours.last_before(pieces[0].starts, ready),
        between=hours.between(pieces[0].starts, ends),
    )
    hours.take(job.key, pieces)


def _ways(job: Job, people: dict[Key, LaidHours], may: list[Key], ready: Moment):
    for place, person in enumerate(may):
        if pieces := people[person].earliest(job.minutes, ready):
            yield place, pieces
