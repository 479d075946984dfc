"""Pitch and inharmonicity of single notes, made up and real."""

import numpy as np
import pytest

from instruments.calc.tone.pitch import pitch_of
from instruments.calc.tone.sounds import NotATone
from tests.instruments.calc.tone.tones import RATE, expected_hz, first_partial_hz, real_notes, struck


def cents(hz, other):
    return 1200 * np.log2(hz / other)


@pytest.mark.parametrize("b", [1e-4, 4e-4, 1.2e-3, 4e-3])
@pytest.mark.parametrize("f0", [27.5, 55.0, 110.0, 220.0, 440.0, 880.0, 1760.0])
def test_a_string_of_known_stiffness_is_recovered(f0, b):
    """Within 5 % of B and a tenth of a cent of pitch. Strings that stiff are not made for the low bass."""
    if f0 < 100 and b > 4e-4:
        b /= 10
    found = pitch_of(struck(f0, b), RATE, f0)
    assert found.inharmonicity == pytest.approx(b, rel=0.05)
    assert abs(cents(found.f1_hz, first_partial_hz(f0, b))) < 0.1


@pytest.mark.parametrize("off", [-120, -49, -7, 13, 90])
def test_a_note_out_of_tune_is_told_as_far_out_as_it_is(off):
    f0 = 261.6256 * 2 ** (off / 1200)
    assert pitch_of(struck(f0, 3e-4), RATE, 261.6256).cents == pytest.approx(
        off + cents(np.sqrt(1.0003), 1), abs=0.2
    )


def test_the_published_string_of_a4():
    """Measured partials of an A4 (Univ. Alabama Huntsville, CHECKS section 3): B = 0.00075145, within 5 %."""
    t = np.arange(RATE * 3) / RATE
    measured = [440.0, 880.9, 1323.9, 1769.8, 2219.7, 2674.6, 3135.4, 3603.1]
    sound = sum(np.sin(2 * np.pi * hz * t) * 10 ** (-t) / n for n, hz in enumerate(measured, start=1))
    found = pitch_of(sound / 4, RATE, 440)
    assert found.inharmonicity == pytest.approx(0.00075145, rel=0.05)
    assert found.f1_hz == pytest.approx(440.0, abs=0.1)
    assert [round(each.hz, 1) for each in found.partials] == pytest.approx(measured, abs=0.15)


def test_a_first_partial_that_is_not_there_is_told_from_the_others():
    """As in the low bass of a small piano, whose soundboard gives no 27.5 Hz."""
    t = np.arange(RATE * 3) / RATE
    sound = sum(
        np.sin(2 * np.pi * n * 27.5 * np.sqrt(1 + 2e-4 * n * n) * t) * 10 ** (-t) / n for n in range(3, 20)
    )
    assert abs(cents(pitch_of(sound / 8, RATE, 27.5).f1_hz, 27.5 * np.sqrt(1.0002))) < 0.5


@pytest.mark.parametrize(
    ("sound", "says"),
    [
        (np.zeros(RATE), "no sound"),
        (np.array([]), "no sound"),
        (np.full(RATE, np.nan), "no sound"),
        (np.sin(np.arange(2000) / 9), "too short"),
        (np.random.default_rng(1).normal(0, 0.1, RATE * 2), "No note"),
    ],
)
def test_what_holds_no_note_is_refused_in_words(sound, says):
    with pytest.raises(NotATone, match=says):
        pitch_of(sound, RATE, 440)


def test_a_rate_or_pitch_that_cannot_be_is_refused():
    with pytest.raises(NotATone):
        pitch_of(struck(440), 100, 440)
    with pytest.raises(NotATone):
        pitch_of(struck(440), RATE, 30_000)


def reference_hz(sound, rate, hz):
    """An independent answer: of all pitches and stiffnesses, the one with most under its partials.

    Another piece of the sound, another window and no peaks picked: only sums.
    """
    start = int(np.argmax(np.abs(sound) > np.abs(sound).max() / 10)) + round(0.08 * rate)
    piece = sound[start : start + round(rate * min(1.5, max(0.3, 20 / hz)))]
    length = 1 << int(np.ceil(np.log2(len(piece) * 16)))
    spectrum = np.sqrt(np.abs(np.fft.rfft(piece * np.hanning(len(piece)), length)))
    numbers = np.arange(1, 13 if hz < 1000 else 3)

    def best(around, width, stiffnesses):
        tried = []
        for c in np.linspace(-width, width, 121):
            f1 = around * 2 ** (c / 1200)
            for b in stiffnesses:
                places = numbers * f1 * np.sqrt((1 + b * numbers**2) / (1 + b)) * length / rate
                places = places[places < len(spectrum) * 0.9]
                tried.append((spectrum[np.round(places).astype(int)].sum(), f1, b))
        return max(tried)

    _, f1, b = best(hz, 120, [0, *np.geomspace(3e-5, 8e-3, 30)])
    return best(f1, 6, np.geomspace(b / 2, b * 2, 25) if b else [0, *np.geomspace(1e-5, 1e-3, 20)])[1]


@pytest.mark.parametrize(("key", "path"), real_notes())
def test_real_notes_agree_with_an_independent_answer_within_three_cents(key, path):
    """A real grand, every third note (samples by Alexander Holm, CC BY 3.0), against a search over a grid."""
    from instruments.sound_files import decoded

    sound, rate = decoded(path)
    found = pitch_of(sound, rate, expected_hz(key))
    assert abs(cents(found.f1_hz, reference_hz(sound, rate, expected_hz(key)))) < 3
