"""Decay, colour, level and breaks on sounds of which everything is known."""

import numpy as np
import pytest

from instruments.calc.tone.breaks import break_step, breaks_by_size
from instruments.calc.tone.colour import colour_of
from instruments.calc.tone.decay import decay_of
from instruments.calc.tone.pitch import Partial, pitch_of
from instruments.calc.tone.sounds import NotATone, level_db
from tests.instruments.calc.tone.tones import RATE, struck


@pytest.mark.parametrize(
    ("early", "late", "after_db", "noise_db"),
    [(20, 4, -15, -60), (40, 6, -20, -60), (15, 3, -10, -55), (60, 10, -18, -65), (30, 8, -25, -65)],
)
@pytest.mark.parametrize("f0", [55.0, 880.0])
def test_both_stages_of_a_decay_in_noise_are_right_within_a_tenth(f0, early, late, after_db, noise_db):
    sound = struck(
        f0, 3e-4, early=early, late=late, after_db=after_db, noise_db=noise_db, seconds=9, partials=3
    )
    found = decay_of(sound, RATE, [each.hz for each in pitch_of(sound, RATE, f0).partials])
    assert found.early_db_s == pytest.approx(early, rel=0.1)
    assert found.late_db_s == pytest.approx(late, rel=0.1)
    assert found.turn_s == pytest.approx(-after_db / (early - late), abs=0.1)


@pytest.mark.parametrize("fall", [6.0, 35.0])
def test_a_decay_of_one_stage_is_not_told_as_two(fall):
    sound = struck(330.0, 3e-4, early=fall, late=None, seconds=9, partials=3)
    found = decay_of(sound, RATE, [each.hz for each in pitch_of(sound, RATE, 330.0).partials])
    assert found.late_db_s is None and found.turn_s is None
    assert found.early_db_s == pytest.approx(fall, rel=0.05)


def test_a_decay_wants_a_note_and_time():
    with pytest.raises(NotATone, match="too short"):
        decay_of(struck(440.0, seconds=0.3)[: RATE // 2], RATE, [440.0])
    with pytest.raises(NotATone, match="partial"):
        decay_of(struck(440.0), RATE, [])


def test_colour_from_the_partials_alone():
    colour = colour_of(
        (Partial(1, 100, 0.0), Partial(2, 200, 20 * np.log10(0.5)), Partial(9, 900, 20 * np.log10(0.5)))
    )
    assert colour.centre == pytest.approx((1 + 2 * 0.5 + 9 * 0.5) / 2)
    assert (colour.low, colour.middle, colour.high) == pytest.approx((1.25 / 1.5, 0, 0.25 / 1.5))


def test_a_brighter_string_has_its_centre_higher():
    dull, bright = (
        colour_of(pitch_of(struck(220.0, 3e-4, tilt=tilt), RATE, 220.0).partials) for tilt in (2.0, 0.5)
    )
    assert bright.centre > 2 * dull.centre


def test_level_of_a_sine_is_three_decibels_below_its_peak():
    sine = 0.5 * np.sin(2 * np.pi * 440 * np.arange(RATE * 2) / RATE)
    assert level_db(sine, RATE) == pytest.approx(20 * np.log10(0.5 / np.sqrt(2)), abs=0.05)


def test_a_break_is_judged_against_its_neighbours_and_the_trend():
    even = {key: 10.0 + 0.5 * key for key in range(20, 40)}
    assert break_step(even, 29).across == pytest.approx(0)
    rng = np.random.default_rng(2)
    uneven = {key: value + (4.0 if key > 29 else 0) + rng.uniform(-0.1, 0.1) for key, value in even.items()}
    step = break_step(uneven, 29)
    assert step.across == pytest.approx(4.0, abs=0.3)
    assert step.words == "stands out clearly"
    assert break_step(uneven, 33).words == "as even as elsewhere"


def test_breaks_are_ranked_as_they_were_made():
    rng = np.random.default_rng(5)
    for _ in range(200):
        small, large = sorted(rng.uniform(1.0, 8.0, 2))
        if large - small < 1.0:
            continue
        places = rng.permutation([27, 41])
        figures = {
            key: 0.2 * key + rng.normal(0, 0.2) + large * (key > places[0]) - small * (key > places[1])
            for key in range(18, 52)
        }
        assert [key for key, _ in breaks_by_size(figures, (27, 41))] == list(places)


def test_too_few_neighbours_say_nothing():
    assert break_step({29: 1.0, 30: 2.0, 31: 3.0}, 29) is None
    assert break_step(dict.fromkeys(range(31, 40), 1.0), 29) is None
