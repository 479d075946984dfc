"""Break matching: whether the step across a break is larger than the steps between neighbours elsewhere.

A break is where the compass goes from one bridge, or kind of string, to another. An even tone across it is a
mark of good design (common practice, no source): compare neighbours on both sides, all recorded alike.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from statistics import median

LEAST_NEIGHBOURS = 4
AS_ELSEWHERE, CLEARLY_MORE = 1.5, 3.0


@dataclass(frozen=True)
class BreakStep:
    """`across` and `usual` in the figure's own unit; `times` is their ratio, None where neighbours do not
    differ.
    """

    across: float
    usual: float
    times: float | None

    @property
    def words(self) -> str:
        if self.across <= self.usual * AS_ELSEWHERE:
            return "as even as elsewhere"
        if self.times is None or self.times > CLEARLY_MORE:
            return "stands out clearly"
        return "somewhat more than elsewhere"


def break_step(figures: Mapping[int, float], last_below: int) -> BreakStep | None:
    """The step between key `last_below` and the next, against the steps between other neighbours.

    `figures` gives one figure (dB, cents, dB/s, centroid ...) for each key recorded. What changes steadily
    along the compass is taken off first: the median step. None unless both keys at the break and four other
    pairs of neighbours are known.
    """
    steps = {key: figures[key + 1] - figures[key] for key in figures if key + 1 in figures}
    elsewhere = [step for key, step in steps.items() if key != last_below]
    if last_below not in steps or len(elsewhere) < LEAST_NEIGHBOURS:
        return None
    trend = median(elsewhere)
    usual = median(abs(step - trend) for step in elsewhere)
    across = abs(steps[last_below] - trend)
    return BreakStep(across, usual, across / usual if usual else None)


def breaks_by_size(figures: Mapping[int, float], breaks: tuple[int, ...]) -> list[tuple[int, BreakStep]]:
    """Those breaks that can be judged, the most uneven first."""
    judged = [(key, step) for key in breaks if (step := break_step(figures, key))]
    return sorted(judged, key=lambda row: -row[1].across)
