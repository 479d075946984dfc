"""Pitch readings taken together: by section of the keyboard, and between two days."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from instruments.calc import pitch
from instruments.calc.compass import SECTIONS, frequency_hz, is_in_section, note_label
from instruments.calc.pitch_raise import TUNE_ONLY_CENTS

MOST_CENTS = 400  # farther off, it was another note


@dataclass(frozen=True)
class SectionMean:
    section: str
    count: int
    cents: float


def heard_hz(key: int, value: float, unit: str, a4_hz: float) -> float:
    """A reading as a frequency; units "hz", "cents" (minus is flat) and "flat" (cents flat, above 0)."""
    if unit == "hz":
        return value
    return pitch.shifted_hz(frequency_hz(key, a4_hz), -value if unit == "flat" else value)


def section_means(cents_of: Mapping[int, float]) -> list[SectionMean]:
    """Mean deviation in bass (to B2), tenor (C3 to B4) and treble; sections without readings are left out.

    Where the sections lie is common practice, no source: see `compass.SECTIONS`.
    """
    means = []
    for section in SECTIONS:
        cents = [value for key, value in cents_of.items() if is_in_section(key, section)]
        if cents:
            means.append(SectionMean(section, len(cents), sum(cents) / len(cents)))
    return means


def planned_by(means: Sequence[SectionMean]) -> SectionMean | None:
    """The section a raise is planned by: the tenor, which is not stretched, or a treble that lies flatter.

    Stretch makes a treble sharper, never flatter. Without a tenor, the section that lies farthest off.
    """
    by_name = {mean.section: mean for mean in means}
    tenor, treble = by_name.get("tenor"), by_name.get("treble")
    if tenor is None:
        return max(means, key=lambda mean: abs(mean.cents), default=None)
    return treble if treble and treble.cents < min(tenor.cents, -TUNE_ONLY_CENTS) else tenor


def drift_cents(before_hz: Mapping[int, float], after_hz: Mapping[int, float]) -> dict[int, float]:
    """How far each note read twice has moved, in cents; plus is up. It does not hang on any A4."""
    return {key: pitch.cents(after_hz[key], before_hz[key]) for key in sorted(before_hz.keys() & after_hz)}


def reading_problem(key: int, value: float, unit: str, a4_hz: float) -> str:
    """One sentence when a reading cannot be of this note; "" otherwise."""
    name = note_label(key)
    if unit == "hz" and value <= 0:
        return f"{name}: a frequency is above 0 Hz."
    if unit == "flat" and value < 0:
        return f"{name}: cents flat are counted above 0; choose cents to write a note that is sharp."
    off = pitch.deviation_cents(key, value, a4_hz) if unit == "hz" else value
    if abs(off) > MOST_CENTS:
        if unit != "hz":
            return f"{name}: at most {MOST_CENTS} cents either way. Was it another note, or another unit?"
        low, high = (pitch.shifted_hz(frequency_hz(key, a4_hz), cents) for cents in (-MOST_CENTS, MOST_CENTS))
        return f"{name}: between {low:.1f} and {high:.1f} Hz. Was it another note, or another unit?"
    return ""


def deviation_words(cents: float) -> str:
    """A deviation as it is said at the piano: "12 cents flat", "in pitch"."""
    size = abs(round(cents))
    if size == 0:
        return "in pitch"
    return f"{size} cent{'s' * (size != 1)} {'flat' if cents < 0 else 'sharp'}"
