"""What of a plan of stages is paid, due and late. Minor units, exact; the first stage is paid first."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True)
class StageAgreed:
    """One sum, due on a day; None while what it waits for has not happened."""

    amount_minor: int
    due_on: date | None = None


@dataclass(frozen=True)
class StageStands:
    amount_minor: int
    paid_minor: int
    due_on: date | None
    is_due: bool  # on its day and after, while something of it is open
    is_late: bool  # after its day

    @property
    def open_minor(self) -> int:
        return self.amount_minor - self.paid_minor


def attributed(stages: Sequence[StageAgreed], paid_minor: int, *, on: date) -> tuple[StageStands, ...]:
    """Each stage with what falls to it of all that was paid, in the order of the plan."""
    left, told = max(0, paid_minor), []
    for stage in stages:
        paid = min(left, stage.amount_minor)
        left -= paid
        is_open = paid < stage.amount_minor
        due = stage.due_on
        told.append(
            StageStands(
                amount_minor=stage.amount_minor,
                paid_minor=paid,
                due_on=due,
                is_due=is_open and due is not None and due <= on,
                is_late=is_open and due is not None and due < on,
            )
        )
    return tuple(told)


def due_minor(stages: Sequence[StageStands]) -> int:
    return sum(stage.open_minor for stage in stages if stage.is_due)


def late_minor(stages: Sequence[StageStands]) -> int:
    return sum(stage.open_minor for stage in stages if stage.is_late)


def off_by_minor(amounts: Sequence[int], price_minor: int) -> int:
    """By how much the stages come to more (+) or less (-) than the price."""
    return sum(amounts) - price_minor
