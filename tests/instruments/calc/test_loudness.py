"""Integrated loudness against what ITU-R BS.1770-4 says of its own meter."""

import numpy as np
import pytest

from instruments.calc.loudness import integrated_loudness, k_weighted


def sine(rate: int, *, hz: float = 997.0, seconds: float = 4.0, db: float = 0.0):
    return 10 ** (db / 20) * np.sin(2 * np.pi * hz * np.arange(round(rate * seconds)) / rate)


@pytest.mark.parametrize("rate", [22_050, 44_100, 48_000, 96_000])
def test_a_sine_of_997_hz_at_full_scale_in_one_channel_reads_3_01_below(rate):
    # BS.1770-4, annex 1: a 0 dB FS 997 Hz sine on one channel indicates -3.01 LKFS.
    assert integrated_loudness(sine(rate), rate) == pytest.approx(-3.01, abs=0.005)


def test_the_same_in_both_channels_is_three_decibels_louder():
    assert integrated_loudness(np.stack([sine(48_000)] * 2), 48_000) == pytest.approx(0.0, abs=0.01)


def test_the_bass_counts_for_less_and_the_treble_for_more():
    low, middle, high = (integrated_loudness(sine(48_000, hz=hz), 48_000) for hz in (30, 997, 4000))
    assert low < middle - 3 and high > middle + 2


def test_silence_between_is_left_out():
    # Annex 1: stretches under -70 LKFS, then those 10 LU under the mean, do not count.
    rate = 48_000
    loud = sine(rate, db=-20, seconds=10)
    with_gaps = np.concatenate([loud, np.zeros(rate * 30), 10 ** (-30 / 20) * loud])
    assert integrated_loudness(with_gaps, rate) == pytest.approx(integrated_loudness(loud, rate), abs=0.1)


def test_nothing_and_too_little_have_no_loudness():
    assert integrated_loudness(np.zeros(48_000), 48_000) is None
    assert integrated_loudness(sine(48_000, seconds=0.3), 48_000) is None


def test_it_does_not_matter_where_a_long_sound_is_cut_into_pieces():
    noise = np.random.default_rng(3).normal(0, 0.1, 48_000 * 4)
    later = k_weighted(np.concatenate([np.zeros(31_415), noise]), 48_000)[31_415:]
    assert np.abs(later - k_weighted(noise, 48_000)).max() < 1e-9
