"""A run of notes is cut where each is struck, and a wrong number is said."""

import numpy as np
import pytest

from instruments.calc.compass import frequency_hz
from instruments.calc.tone.pitch import pitch_of
from instruments.calc.tone.runs import notes_of, strikes_in
from instruments.calc.tone.sharing import shares_percent
from instruments.calc.tone.sounds import NotATone
from tests.instruments.calc.tone.tones import RATE, struck


def a_run(low: int, high: int, *, noise_db: float = -60.0):
    notes = [
        struck(frequency_hz(key), 3e-4, seconds=1.5, seed=key, noise_db=noise_db)
        for key in range(low, high + 1)
    ]
    return np.concatenate(notes)


@pytest.mark.parametrize(("low", "noise_db"), [(8, -60), (22, -60), (22, -45), (46, -50), (64, -60)])
def test_every_strike_is_found_where_it_is(low, noise_db):
    found = strikes_in(a_run(low, low + 9, noise_db=noise_db), RATE)
    assert found == pytest.approx([0.2 + 1.7 * place for place in range(10)], abs=0.03)


def test_each_piece_holds_its_own_note():
    pieces = notes_of(a_run(22, 33), RATE, 12)
    cents = [
        pitch_of(piece, RATE, frequency_hz(key)).cents
        for key, piece in zip(range(22, 34), pieces, strict=True)
    ]
    assert max(map(abs, cents)) < 3


def test_another_number_of_notes_is_said():
    with pytest.raises(NotATone, match="11 notes were to be heard one by one, and 10 strikes are"):
        notes_of(a_run(22, 31), RATE, 11)


def test_silence_has_no_strike():
    assert strikes_in(np.zeros(RATE), RATE) == []


def test_shares_of_the_power_add_up():
    assert shares_percent([(1, 0.0), (4, 0.0), (9, 0.0)]) == (33, 34, 33)
    assert shares_percent([(2, 0.0)]) == (100, 0, 0)
