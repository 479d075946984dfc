"""Made-up struck strings of which everything is known, and real ones where a folder of them is at hand."""

import os
import re
from pathlib import Path

import numpy as np
import pytest

from instruments.calc.compass import frequency_hz

RATE = 44_100
NAMES = ["C", "C#", "D", "D#", "E", "F", "F#", "G", "G#", "A", "A#", "B"]


def struck(
    f0_hz: float,
    b: float = 0.0,
    *,
    early: float = 20.0,
    late: float | None = 4.0,
    after_db: float = -15.0,
    noise_db: float = -60.0,
    seconds: float = 6.0,
    partials: int = 16,
    tilt: float = 1.0,
    seed: int = 1,
):
    """A string with partials n f0 sqrt(1 + B n^2), each with a prompt and an after-sound (dB/s), in noise."""
    rng = np.random.default_rng(seed)
    t = np.arange(round(RATE * seconds)) / RATE
    sound = np.zeros_like(t)
    for n in range(1, partials + 1):
        hz = n * f0_hz * np.sqrt(1 + b * n * n)
        if hz > RATE * 0.45:
            break
        level = 10 ** (-early * t / 20)
        if late is not None:
            level = level + 10 ** ((after_db - late * t) / 20)
        sound += np.sin(2 * np.pi * hz * t + rng.uniform(0, 2 * np.pi)) * level / n**tilt
    sound *= 0.8 / np.abs(sound).max()
    sound = np.concatenate([np.zeros(round(0.2 * RATE)), sound])
    return sound + rng.normal(0, 10 ** (noise_db / 20), len(sound))


def first_partial_hz(f0_hz: float, b: float) -> float:
    return f0_hz * np.sqrt(1 + b)


def real_notes() -> list:
    """(key, path) of each file named like A4v10.ogg or D#3v10.ogg in the folder WRESTPLANK_RECORDINGS."""
    folder = os.environ.get("WRESTPLANK_RECORDINGS")
    if not folder:
        why = "no real piano notes here: WRESTPLANK_RECORDINGS names no folder"
        return [pytest.param(None, None, marks=pytest.mark.skip(reason=why))]
    found = []
    for path in Path(folder).glob("*.ogg"):
        if note := re.match(r"([A-G]#?)(\d)v\d+$", path.stem):
            found.append((12 * (int(note[2]) + 1) + NAMES.index(note[1]) - 20, path))
    assert found, f"no note in {folder}"
    return [pytest.param(key, path, id=path.stem) for key, path in sorted(found)]


def expected_hz(key: int) -> float:
    return frequency_hz(key)
