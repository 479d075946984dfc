"""How loud a recording is to the ear: integrated loudness by ITU-R BS.1770-4, in LUFS (LKFS).

K-weighting by the two filters published there for 48 kHz; at another rate the same response at the same
frequency. Power in stretches of 400 ms, each 100 ms after the last; those under -70 LUFS are left out, then
those 10 LU under the mean of what is left (annex 1). One or two channels, each with weight 1.
"""

import numpy as np

# BS.1770-4, annex 1, tables 1 and 2: numerator and denominator at 48 kHz.
SHELF = ((1.53512485958697, -2.69169618940638, 1.19839281085285), (1.0, -1.69065929318241, 0.73248077421585))
HIGH_PASS = ((1.0, -2.0, 1.0), (1.0, -1.99004745483398, 0.99007225036621))
STATED_RATE = 48_000
STRETCH_S, STEPS = 0.4, 4
ABSOLUTE_LUFS, RELATIVE_LU, OFFSET = -70.0, -10.0, -0.691
PIECE, TAIL = 1 << 16, 1 << 14  # the filters have died away by 1e-30 within the tail


def integrated_loudness(channels, rate: int) -> float | None:
    """LUFS of floats -1..1, shape (samples,) or (channels, samples). None for silence, or under 0.4 s."""
    power = _powers(np.atleast_2d(np.asarray(channels)), rate)
    heard = power[_lufs(power) > ABSOLUTE_LUFS]
    if not heard.size:
        return None
    heard = heard[_lufs(heard) > _lufs(heard.mean()) + RELATIVE_LU]
    return float(_lufs(heard.mean()))


def _powers(channels: np.ndarray, rate: int) -> np.ndarray:
    """Mean square of each stretch, summed over the channels."""
    step = round(rate * STRETCH_S / STEPS)
    sums = sum(_squares(channel, rate, step) for channel in channels)
    return np.convolve(sums, np.ones(STEPS), "valid") / (STEPS * step) if len(sums) >= STEPS else np.zeros(0)


def _squares(channel: np.ndarray, rate: int, step: int) -> np.ndarray:
    weighted = k_weighted(channel, rate)
    whole = len(weighted) // step * step
    return np.sum(weighted[:whole].reshape(-1, step) ** 2, axis=1)


def k_weighted(channel: np.ndarray, rate: int) -> np.ndarray:
    """One channel through both filters, piece by piece, so that a long recording takes little room."""
    length = PIECE + TAIL
    response = _response(np.fft.rfftfreq(length, 1 / rate))
    weighted = np.zeros(len(channel) + TAIL)
    for start in range(0, len(channel), PIECE):
        piece = np.fft.irfft(np.fft.rfft(channel[start : start + PIECE], length) * response, length)
        end = min(start + length, len(weighted))
        weighted[start:end] += piece[: end - start]
    return weighted[: len(channel)]


def _response(hz: np.ndarray) -> np.ndarray:
    turned = np.exp(-2j * np.pi * np.minimum(hz, STATED_RATE / 2) / STATED_RATE)
    return np.prod(
        [_polynomial(top, turned) / _polynomial(under, turned) for top, under in (SHELF, HIGH_PASS)], axis=0
    )


def _polynomial(coefficients: tuple[float, ...], turned: np.ndarray) -> np.ndarray:
    return coefficients[0] + coefficients[1] * turned + coefficients[2] * turned**2


def _lufs(power):
    return OFFSET + 10 * np.log10(np.maximum(power, 1e-30))
