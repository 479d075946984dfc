"""How a struck note dies away: a prompt sound that falls fast, and an after-sound that falls slowly.

The strings of a note give up their sound in two stages, as they come to move against each other (G.
Weinreich, JASA 62 (1977) 1474-1484, from memory). Fitted is level(t) = sqrt((A1 e^-at + A2 e^-bt)^2 + N^2)
with N the room's noise, to the logarithm of the level of the note's first partials, so that quiet and loud
count alike. One stage where the sound does not ask for two.
"""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from instruments.calc.tone.sounds import NotATone, as_sound, onset_of

PARTIALS = 6
HOP_S = 0.02
AFTER_STRIKE_S = 0.05
LONGEST_S, LEAST_S = 8.0, 0.5
DB_PER_E = 20 / np.log(10)
ROUNDS = 60
OUTLIER = 0.35  # of a neper: beats dip deeper than that, and count less
TOGETHER = 5  # neighbouring points that tell the same, since a window reaches over them
WORTH_A_SECOND_STAGE = 6.0


@dataclass(frozen=True)
class Decay:
    """Fall of the level in dB a second. `late_db_s` and `turn_s` (seconds from the strike at which the
    after-sound takes over) are None where one stage tells it all; `floor_db` is the room's noise below the
    level at the strike.
    """

    early_db_s: float
    late_db_s: float | None
    turn_s: float | None
    floor_db: float


def decay_of(sound, rate: int, partials_hz: Iterable[float]) -> Decay:
    """Decay of one note by its first partials (Hz, as `pitch_of` finds them). NotATone where too short."""
    sound = as_sound(sound, rate)
    sound = sound[onset_of(sound, rate) :][: round(LONGEST_S * rate)]
    bands = [_band(sound, rate, hz) for hz in list(partials_hz)[:PARTIALS]]
    if not bands:
        raise NotATone("No partial of the note stands out, so its decay cannot be followed.")
    length = min(map(len, bands))
    level = np.sqrt(sum(band[:length] ** 2 for band in bands))
    times = np.arange(length) * HOP_S
    later = times >= AFTER_STRIKE_S
    if length < LEAST_S / HOP_S:
        raise NotATone("The note is too short. Record it until it has died away.")
    return fit_decay(times[later], level[later])


def fit_decay(times: np.ndarray, level: np.ndarray) -> Decay:
    """One or two stages through levels (amplitudes above nothing) at times in seconds from the strike."""
    heights = np.log(np.maximum(level, level.max() * 1e-6))
    noise = float(np.median(heights[-max(5, len(heights) // 10) :]))
    span = times[-1] - times[0]
    shifted = times - times[0]
    starts = [(heights[0], np.log(k / span), noise) for k in (2, 8, 30)]
    one = min((_gauss_newton(shifted, heights, start) for start in starts), key=_cost)
    starts = [
        (heights[0], np.log(k / span), noise, lower, slower)
        for k in (4, 12, 40, 100)
        for lower in (-1.5, -3.5)
        for slower in (0.5, 2.0)
    ]
    two = min((_gauss_newton(shifted, heights, start) for start in starts), key=_cost)
    return _chosen(one, two, points=len(times), begin=float(times[0]))


def _band(sound, rate, hz) -> np.ndarray:
    """Amplitude around one frequency each HOP_S: moved to nothing, then averaged under a Hann window."""
    moved = sound * np.exp(-2j * np.pi * hz * np.arange(len(sound)) / rate)
    window = np.hanning(round(rate * max(0.02, 4.0 / hz)))
    length = 1 << int(np.ceil(np.log2(len(sound) + len(window))))
    smooth = np.fft.ifft(np.fft.fft(moved, length) * np.fft.fft(window / window.sum(), length))
    return 2 * np.abs(smooth[len(window) - 1 : len(sound)][:: round(rate * HOP_S)])


def _curve(p, t):
    """log level; p = log A1, log a, log N and for two stages log A2/A1 and logit of b/a."""
    amplitude = np.exp(p[0] - np.exp(p[1]) * t)
    if len(p) == 5:
        amplitude = amplitude + np.exp(p[0] + p[3] - _slower(p) * t)
    return 0.5 * np.log(amplitude**2 + np.exp(2 * p[2]) + 1e-300)


def _slower(p) -> float:
    return float(np.exp(p[1]) / (1 + np.exp(np.clip(p[4], -30, 30))))


def _cost(fit) -> float:
    return fit[0]


def _gauss_newton(t, heights, start):
    """Weighted sum of squares and parameters; damped steps, deep dips weigh less (Huber's weights)."""
    p, damping = np.array(start, dtype=float), 1e-2

    def misses(q):
        r = heights - _curve(q, t)
        weight = 1 / np.maximum(1, np.abs(r) / OUTLIER)
        return r, weight, float(np.sum(weight * r * r))

    r, weight, cost = misses(p)
    for _ in range(ROUNDS):
        slopes = np.stack(
            [(_curve(p + d, t) - _curve(p - d, t)) / 2e-5 for d in np.eye(len(p)) * 1e-5], axis=1
        )
        weighted = slopes * weight[:, None]
        square = weighted.T @ slopes
        try:
            step = np.linalg.solve(square + np.diag(damping * np.diag(square) + 1e-9), weighted.T @ r)
        except np.linalg.LinAlgError:
            break
        tried = misses(p + np.clip(step, -2, 2))
        if np.isfinite(tried[2]) and tried[2] < cost:
            nearly_there = cost - tried[2] < 1e-7 * cost
            p, (r, weight, cost), damping = p + np.clip(step, -2, 2), tried, max(damping / 4, 1e-9)
            if nearly_there:
                break
        elif (damping := damping * 5) > 1e8:
            break
    return cost, p


def _chosen(one, two, *, points: int, begin: float) -> Decay:
    """Two stages only where they earn their two further figures (Bayesian criterion) and are two at all."""
    apart = points / TOGETHER
    gain = apart * np.log(one[0] / two[0]) - 2 * np.log(apart) if two[0] > 0 else np.inf
    p = two[1]
    fast, slow = float(np.exp(p[1])), _slower(p)
    if gain < WORTH_A_SECOND_STAGE or fast < 1.3 * slow or not -6 < p[3] < 0:
        p = one[1]
        return Decay(float(DB_PER_E * np.exp(p[1])), None, None, float(DB_PER_E * (p[2] - p[0])))
    turn = begin - float(p[3]) / (fast - slow)
    return Decay(float(DB_PER_E * fast), float(DB_PER_E * slow), turn, float(DB_PER_E * (p[2] - p[0])))
