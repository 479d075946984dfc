"""Pitch: how far a note is from where it should be, in cents (hundredths of an equal semitone)."""

import math

from instruments.calc.compass import frequency_hz

STANDARD_A4_HZ = 440.0  # ISO 16:1975


def cents(frequency: float, reference: float) -> float:
    """How far `frequency` lies above `reference` (Hz, both above 0); negative is flat. 1200 * log2(f / r)."""
    return 1200 * math.log2(_above_zero(frequency) / _above_zero(reference))


def shifted_hz(reference: float, by_cents: float) -> float:
    """The frequency that lies so many cents above the reference."""
    return _above_zero(reference) * 2 ** (by_cents / 1200)


def deviation_cents(key: int, frequency: float, a4_hz: float = STANDARD_A4_HZ) -> float:
    """A key's reading against equal temperament. Good tunings stretch: judge no treble or bass by it."""
    return cents(frequency, frequency_hz(key, a4_hz))


def midi_of_frequency(frequency: float) -> float:
    """MIDI note number, with its fraction, 69 + 12 * log2(f / 440) (MIDI 1.0, from memory)."""
    return 69 + cents(frequency, STANDARD_A4_HZ) / 100


def nearest_key(frequency: float, a4_hz: float = STANDARD_A4_HZ) -> int:
    """The key whose equal-tempered pitch lies nearest, in the 88-key numbering; 49 is A4."""
    return 49 + round(cents(frequency, a4_hz) / 100)


def _above_zero(frequency: float) -> float:
    if not frequency > 0 or math.isinf(frequency):
        raise ValueError("A frequency has to be above 0 Hz.")
    return float(frequency)
