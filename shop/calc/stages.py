"""How long an instrument stood in each stage of its way through the shop. Days and nothing else."""

from dataclasses import dataclass
from datetime import date

STAGES = {
    "waiting": "Waiting for the bench",
    "bench": "On the bench",
    "ready": "Waiting to be offered",
    "window": "In the window",
    "promised": "Promised",
}


@dataclass(frozen=True)
class Milestones:
    """The days on which one stage gave way to the next; None for what has not happened.

    `work_done` is None while any order of work is open.
    """

    arrived: date
    work_begun: date | None = None
    work_done: date | None = None
    offered: date | None = None
    promised: date | None = None
    sold: date | None = None


@dataclass(frozen=True)
class StageDays:
    """Days in each stage of `STAGES`, and the stage it stands in: "" once it is sold."""

    days: dict[str, int]
    stage: str

    @property
    def total(self) -> int:
        return sum(self.days.values())


def stage_days(known: Milestones, *, on: date) -> StageDays:
    """Each stage runs to the beginning of the next; the last to the sale, or to `on`. They add up to all."""
    begins = {
        "waiting": known.arrived,
        "bench": known.work_begun,
        "ready": known.work_done,
        "window": known.offered,
        "promised": known.promised,
    }
    end = max(known.arrived, min(known.sold, on) if known.sold else on)
    marks = [(min(max(day, known.arrived), end), stage) for stage, day in begins.items() if day]
    marks.sort(key=lambda mark: mark[0])  # of one day the later stage holds: the sort keeps their order
    days = dict.fromkeys(STAGES, 0)
    for (since, stage), until in zip(marks, [*(day for day, _ in marks[1:]), end], strict=True):
        days[stage] += (until - since).days
    return StageDays(days, "" if known.sold else marks[-1][1])
