"""What of the money paid on a home trial counts toward another instrument, from which day, and how long.

The rules are the shop's own word, put into its agreement: common practice, no source. A published trade-up
scale that says nothing of its months 12 to 24 is an avoidable quarrel, so a scale here has no gap: each step
holds until the next begins, and the last one for good. Minor units throughout.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from itertools import pairwise

from shop.calc.deadlines import months_later
from workorders.calc.money import share_minor

WHOLE = ((0, 100),)
MOST_STEPS = 5
LONGEST_MONTHS = 120
LONGEST_TRIAL_MONTHS = 3  # a trial stays shorter: shop/problems.py
FEES = ("delivery", "tuning", "hire")


@dataclass(frozen=True)
class CreditRule:
    """The terms of credit: a scale of (from month, percent), what counts, toward what, and how long."""

    scale: tuple[tuple[int, int], ...] = WHOLE
    fees_that_count: tuple[str, ...] = ()
    only_dearer: bool = False
    expires_after_months: int | None = None

    def __post_init__(self):
        if faults := scale_faults(self.scale):
            raise ValueError(faults[0][1])
        if unknown := set(self.fees_that_count) - set(FEES):
            raise ValueError(f"no such fee: {', '.join(sorted(unknown))}")
        in_order = tuple(fee for fee in FEES if fee in self.fees_that_count)
        object.__setattr__(self, "fees_that_count", in_order)
        if self.expires_after_months is not None and not 1 <= self.expires_after_months <= LONGEST_MONTHS:
            raise ValueError(f"Credit runs out after 1 to {LONGEST_MONTHS} months, or never.")

    @property
    def rises(self) -> bool:
        """Whether a later step counts more than the one before it."""
        shares = [percent for _, percent in self.scale]
        return any(later > before for before, later in pairwise(shares))

    @property
    def share_at_first(self) -> int:
        return self.scale[0][1]

    def percent_on(self, starts_on: date, day: date) -> int:
        """The share that counts on a day, by the whole months gone since the trial began."""
        gone = whole_months(starts_on, day)
        return next(percent for month, percent in reversed(self.scale) if month <= gone)

    def steps_by_day(self, starts_on: date) -> tuple[tuple[date, int], ...]:
        """Each step with its first day, for words that a customer can hold against a calendar."""
        return tuple((months_later(starts_on, month), percent) for month, percent in self.scale)

    def reaches(self, price_minor: int, other_price_minor: int) -> bool:
        """Whether the credit counts toward an instrument of that price; the same price is not dearer."""
        return not self.only_dearer or other_price_minor > price_minor

    def runs_out_on(self, arose_on: date) -> date | None:
        """The last day of a credit that arose on a day; None where it never runs out."""
        months = self.expires_after_months
        return None if months is None else months_later(arose_on, months)


def scale_faults(steps: Sequence[tuple[int, int]]) -> list[tuple[int, str]]:
    """What is wrong with a scale: the place of the step, and a sentence. Empty for a scale without gap."""
    if not steps:
        return [(0, "Give the share that counts from the start.")]
    faults = [(0, "The first share counts from month 0, the start.")] if steps[0][0] != 0 else []
    if len(steps) > MOST_STEPS:
        faults.append((MOST_STEPS, f"A scale has {MOST_STEPS} steps at most."))
    for place, (month, percent) in enumerate(steps):
        if not 0 <= percent <= 100:
            faults.append((place, "A share lies between 0 and 100 %."))
        if not 0 <= month <= LONGEST_MONTHS:
            faults.append((place, f"A month lies between 0 and {LONGEST_MONTHS}."))
        if place and month <= steps[place - 1][0]:
            before = steps[place - 1][0]
            faults.append((place, f"This step has to begin later than the one before it, month {before}."))
    return faults


def whole_months(starts_on: date, day: date) -> int:
    """Whole months gone; the first is gone on the same day of the next month, or on its last day.

    31 January to 28 February is one month (as `months_later` counts). Nothing is gone before the start.
    """
    months = (day.year - starts_on.year) * 12 + day.month - starts_on.month
    if months > 0 and months_later(starts_on, months) > day:
        months -= 1
    return max(0, months)


@dataclass(frozen=True)
class Counting:
    """What of one trial counts on a day. Rounded once, half a minor unit up; what is left over is the shop's.

    Paid toward the price, fees that count, the share in force, and deductions agreed one by one.
    """

    paid_minor: int
    fees_minor: int
    percent: int
    deducted_minor: int = 0

    def __post_init__(self):
        if min(self.paid_minor, self.fees_minor, self.deducted_minor) < 0:
            raise ValueError("amounts cannot be negative")
        if self.deducted_minor > self.paid_minor:
            raise ValueError("more is deducted than was paid")

    @property
    def counted_minor(self) -> int:
        """The share of all that counts, before anything is deducted."""
        return self._share_of(self.paid_minor + self.fees_minor)

    @property
    def from_fees_minor(self) -> int:
        """As much of the counted sum as comes out of the fees."""
        return self.counted_minor - self._share_of(self.paid_minor)

    @property
    def credit_minor(self) -> int:
        """What comes off another instrument."""
        return max(0, self.counted_minor - self.deducted_minor)

    @property
    def not_counting_minor(self) -> int:
        """Paid toward the price, neither counted nor deducted."""
        return self.paid_minor + self.from_fees_minor - self.credit_minor - self.deducted_minor

    def _share_of(self, amount_minor: int) -> int:
        return amount_minor if self.percent == 100 else share_minor(amount_minor, Fraction(self.percent, 100))


@dataclass(frozen=True)
class Lot:
    """A part of somebody's credit that is still there, where it came from, and its last day."""

    amount_minor: int
    source: int
    runs_out_on: date | None


def lots_left(entries: Iterable[tuple[int, int, date | None]]) -> list[Lot]:
    """What is left of each credit that arose: (amount, where it came from, last day) in the order written.

    What is spent comes first out of what runs out first, to the customer's good; among equals the oldest.
    ValueError when more went than there was.
    """
    lots: list[Lot] = []
    for amount, source, runs_out_on in entries:
        if amount > 0:
            lots.append(Lot(amount, source, runs_out_on))
            lots.sort(key=lambda lot: (lot.runs_out_on is None, lot.runs_out_on or date.min))
            continue
        lots = _spent(lots, -amount)
    return lots


def _spent(lots: list[Lot], amount: int) -> list[Lot]:
    left = []
    for lot in lots:
        taken = min(lot.amount_minor, amount)
        amount -= taken
        if rest := lot.amount_minor - taken:
            left.append(Lot(rest, lot.source, lot.runs_out_on))
    if amount:
        raise ValueError("more credit was spent than there was")
    return left
