"""The colour of one struck note: where its sound has its centre, and how it is shared among its partials."""

from dataclasses import dataclass

import numpy as np

from instruments.calc.tone.bounds import LOW, MIDDLE
from instruments.calc.tone.pitch import Partial
from instruments.calc.tone.sounds import NotATone


@dataclass(frozen=True)
class Colour:
    """`centre` is the centroid in numbers of the partial (1 = all in the first); the shares are of the
    power and add up to 1: partials 1 to 3, 4 to 8, and those above.
    """

    centre: float
    low: float
    middle: float
    high: float


def colour_of(partials: tuple[Partial, ...]) -> Colour:
    """From partials as `pitch_of` finds them, so that noise between them does not count. NotATone with none.

    Centroid: sum of number times amplitude over sum of amplitudes (definition, no source needed).
    """
    if not partials:
        raise NotATone("No partial of the note stands out, so its colour cannot be told.")
    numbers = np.array([each.number for each in partials])
    amplitudes = np.array([10 ** (each.db / 20) for each in partials])
    power = amplitudes**2 / np.sum(amplitudes**2)
    return Colour(
        centre=float(np.sum(numbers * amplitudes) / np.sum(amplitudes)),
        low=float(power[numbers <= LOW].sum()),
        middle=float(power[(numbers > LOW) & (numbers <= MIDDLE)].sum()),
        high=float(power[numbers > MIDDLE].sum()),
    )
