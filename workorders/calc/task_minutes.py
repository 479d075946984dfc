"""What a task really takes: the median of finished jobs, their spread, and which of them are unusual.

Median and quartiles are those of Python's `statistics` module: `median`, and `quantiles(n=4,
method="inclusive")`, which interpolates linearly between the sorted values (type 7 of Hyndman and Fan, The
American Statistician 50, 1996, 361-365; named from memory). Unusual is what lies more than one and a half
times the distance of the quartiles beyond them (Tukey, Exploratory Data Analysis, 1977; from memory too).
"""

import statistics
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

ENOUGH = 3
ENOUGH_FOR_UNUSUAL = 5
FENCE = Fraction(3, 2)


@dataclass(frozen=True)
class TaskMinutes:
    """Minutes of the finished jobs of one task: how many, their median, lower and upper quartile.

    `low` and `high` are the limits of what is usual; None while there are fewer than five jobs.
    """

    count: int
    median: Fraction
    lower: Fraction
    upper: Fraction
    low: Fraction | None = None
    high: Fraction | None = None

    @property
    def is_enough(self) -> bool:
        """Whether there are at least three: fewer say little."""
        return self.count >= ENOUGH

    @property
    def usual(self) -> int:
        """The median in whole minutes, half up."""
        return _half_up(self.median)

    @property
    def lower_minutes(self) -> int:
        return _half_up(self.lower)

    @property
    def upper_minutes(self) -> int:
        return _half_up(self.upper)

    def is_unusual(self, minutes: int) -> bool:
        return self.low is not None and not self.low <= minutes <= self.high


def task_minutes(minutes: Sequence[int]) -> TaskMinutes | None:
    """Figures of finished jobs, each in whole minutes above 0; None without any. ValueError for 0 or less."""
    if any(each <= 0 for each in minutes):
        raise ValueError("A finished job took more than no time.")
    if not minutes:
        return None
    exact = [Fraction(each) for each in minutes]
    if len(exact) == 1:
        return TaskMinutes(1, exact[0], exact[0], exact[0])
    lower, median, upper = statistics.quantiles(exact, n=4, method="inclusive")
    if len(exact) < ENOUGH_FOR_UNUSUAL:
        return TaskMinutes(len(exact), median, lower, upper)
    reach = FENCE * (upper - lower)
    return TaskMinutes(len(exact), median, lower, upper, lower - reach, upper + reach)


def percent_off(usual: int, median: int) -> int:
    """How far the usual minutes are from the median, in whole percent of the usual, half up in size."""
    size = _half_up(Fraction(abs(median - usual) * 100, usual))
    return size if median >= usual else -size


def _half_up(value: Fraction) -> int:
    return int(value + Fraction(1, 2))
