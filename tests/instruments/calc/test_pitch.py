import pytest
from hypothesis import given
from hypothesis import strategies as st

from instruments.calc import pitch


# Source: c = 1200 log2(f2 / f1), definition from memory; figures derived.
@pytest.mark.parametrize(
    ("frequency", "cents"),
    [(435, -19.786), (442, 7.851), (452.5, 48.497), (430.54, -37.627), (440, 0), (880, 1200)],
)
def test_cents_measure_the_distance_from_440(frequency, cents):
    assert pitch.cents(frequency, 440) == pytest.approx(cents, abs=1e-3)


@pytest.mark.parametrize(("cents", "hertz"), [(-50, 427.474), (100, 466.164)])
def test_cents_lead_back_to_a_frequency(cents, hertz):
    assert pitch.shifted_hz(440, cents) == pytest.approx(hertz, abs=1e-3)


# Source: MIDI 1.0, from memory.
@pytest.mark.parametrize(("hertz", "midi"), [(27.5, 21), (261.6256, 60), (3520, 105), (4186.009, 108)])
def test_frequencies_have_midi_numbers(hertz, midi):
    assert pitch.midi_of_frequency(hertz) == pytest.approx(midi, abs=1e-4)


# Source: n = 12 log2(f / 440) + 49, "Piano key frequencies", infogalactic.com.
@pytest.mark.parametrize(("hertz", "key"), [(27.5, 1), (440, 49), (425, 48), (3520, 85), (4186.009, 88)])
def test_the_nearest_key_is_found(hertz, key):
    assert pitch.nearest_key(hertz) == key


def test_a_key_is_judged_against_the_shops_own_a4():
    assert pitch.deviation_cents(49, 435, a4_hz=435) == 0


@pytest.mark.parametrize("frequency", [0, -440, float("nan"), float("inf")])
def test_a_frequency_that_cannot_be_is_refused(frequency):
    with pytest.raises(ValueError, match="above 0 Hz"):
        pitch.cents(frequency, 440)


@given(st.floats(20, 5000), st.floats(-1200, 1200))
def test_shifting_by_cents_is_measured_as_the_same_cents(reference, cents):
    assert pitch.cents(pitch.shifted_hz(reference, cents), reference) == pytest.approx(cents, abs=1e-6)
