"""A run of single notes in one recording, each struck and let ring, cut where the next is struck."""

from itertools import pairwise

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view

from instruments.calc.tone.sounds import NotATone, as_sound

HOP_S = 0.01
RISE_DB, QUIET_DB = 8.0, -32.0
LOOKS_BACK_S, APART_S = 0.06, 0.3
LASTS = 9  # hops
TREBLE_HZ = 4000
LEAD_S = 0.02  # so that a strike is not cut


def strikes_in(sound, rate: int) -> list[float]:
    """Seconds at which something is struck: the level rises by 8 dB within 60 ms, and is no mere noise."""
    sound = as_sound(sound, rate)
    hop = round(rate * HOP_S)
    # What lies under some hundred hertz rings on longest, and hides the strike of the next note.
    lag = max(1, round(rate / TREBLE_HZ))
    sharp = sound - np.concatenate([np.zeros(lag), sound[:-lag]])
    count = len(sharp) // hop
    if count < LASTS:
        return []
    level = 10 * np.log10(np.mean(sharp[: count * hop].reshape(count, hop) ** 2, axis=1) + 1e-14)
    back = min(round(LOOKS_BACK_S / HOP_S), count)
    before = np.concatenate([np.full(back, level[0]), level[: count - back]])
    # A click is over at once; a note goes on.
    onward = np.median(sliding_window_view(np.pad(level, (0, LASTS - 1), "edge"), LASTS), axis=1)
    rises = (np.minimum(level, onward) - before > RISE_DB) & (level > level.max() + QUIET_DB)
    found: list[float] = []
    for place in np.flatnonzero(rises):
        at = place * HOP_S
        if not found or at - found[-1] > APART_S:
            found.append(float(at))
    return found


def notes_of(sound, rate: int, count: int) -> list[np.ndarray]:
    """The recording cut into so many notes. NotATone where another number is heard."""
    sound = as_sound(sound, rate)
    starts = strikes_in(sound, rate)
    if len(starts) != count:
        heard = f"{len(starts)} strike{'s are' if len(starts) != 1 else ' is'}"
        raise NotATone(
            f"{count} notes were to be heard one by one, and {heard}. Strike each by itself, hold it for two"
            " seconds, let it go, then the next."
        )
    places = [max(0, round((at - LEAD_S) * rate)) for at in starts] + [len(sound)]
    return [sound[first:last] for first, last in pairwise(places)]
