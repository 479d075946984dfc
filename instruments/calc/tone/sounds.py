"""A recorded sound as numbers: one channel of floats from -1 to 1, and its rate in samples a second."""

import numpy as np

HOP_S = 0.005
ONSET_DB = -20.0
LEAST_HZ, MOST_HZ = 8_000, 192_000


class NotATone(ValueError):
    """Nothing can be measured in this sound; the sentence says why, and what would help."""


def as_sound(sound, rate: int) -> np.ndarray:
    """One channel of finite floats; several are averaged. Shape in: (samples,) or (channels, samples)."""
    if not LEAST_HZ <= rate <= MOST_HZ:
        raise NotATone(f"A recording has {LEAST_HZ} to {MOST_HZ} samples a second.")
    sound = np.asarray(sound, dtype=float)
    if sound.ndim == 2:
        sound = sound.mean(axis=0)
    if sound.ndim != 1 or not sound.size or not np.isfinite(sound).all():
        raise NotATone("There is no sound in this recording.")
    return sound


def levels_of(sound: np.ndarray, hop: int) -> np.ndarray:
    """The effective level (root of the mean square) of each stretch of `hop` samples."""
    count = len(sound) // hop
    return np.sqrt(np.mean(sound[: count * hop].reshape(count, hop) ** 2, axis=1))


def onset_of(sound: np.ndarray, rate: int) -> int:
    """The sample at which the note is struck: where the level first comes within 20 dB of its loudest."""
    hop = max(1, round(rate * HOP_S))
    levels = levels_of(sound, hop)
    if not levels.size or levels.max() <= 0:
        raise NotATone("There is no sound in this recording.")
    return int(np.argmax(levels > levels.max() * 10 ** (ONSET_DB / 20))) * hop


def level_db(sound, rate: int, seconds: float = 1.0) -> float:
    """The effective level of the first second after the strike, in dB of full scale.

    It is the recording's level: telephone, distance and room are in it. Sources: definition.
    """
    sound = as_sound(sound, rate)
    start = onset_of(sound, rate)
    piece = sound[start : start + max(1, round(seconds * rate))]
    return float(20 * np.log10(np.sqrt(np.mean(piece**2))))
