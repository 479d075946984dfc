"""What a recording is, and what its notes measure: for pages, the one door to numpy."""

from decimal import Decimal
from io import BytesIO
from typing import BinaryIO

import numpy as np

from instruments.calc.compass import frequency_hz, note_label
from instruments.calc.loudness import integrated_loudness
from instruments.calc.tone.colour import colour_of
from instruments.calc.tone.decay import decay_of
from instruments.calc.tone.pitch import pitch_of
from instruments.calc.tone.runs import notes_of
from instruments.calc.tone.sounds import NotATone, level_db, levels_of, onset_of
from instruments.models.recording import CURVE_STEP_S
from instruments.sound_files import Sound, kind_of, playable_copy, read_sound

STRETCHES = 240
LEAST_S = 0.5
CURVE_S = 8.0
SILENT = "There is next to nothing to hear in it. Was the microphone covered, or far away?"


def hear(file: BinaryIO) -> dict | str:
    """The fields of a recording and its playable copy; a sentence where it cannot be taken."""
    try:
        kind, sound = kind_of(file), read_sound(file)
        if sound.seconds < LEAST_S:
            return "It is shorter than half a second."
        copy, copied = playable_copy(sound)
        loudness = _loudness_of(copy)
        if loudness is None:
            return SILENT
        starts_s = onset_of(sound.mono, sound.rate) / sound.rate
    except NotATone as refused:
        return str(refused)
    return {
        "media_type": kind.media_type,
        "ending": kind.ending,
        "copy": copy,
        "copy_type": copied.media_type,
        "copy_ending": copied.ending,
        "duration_ms": round(sound.seconds * 1000),
        "starts_ms": int(starts_s * 1000),
        "loudness_lufs": _exact(loudness, 2),
        "waveform": _waveform(sound),
    }


def _loudness_of(copy: bytes) -> float | None:
    """Of what is played, not of what came: an encoder may turn it down a little."""
    played = read_sound(BytesIO(copy))
    return integrated_loudness(played.channels, played.rate)


def _waveform(sound: Sound) -> list[int]:
    """The loudest of each of so many stretches, in hundredths of the loudest of all."""
    mono = np.abs(sound.mono)
    loudest = float(mono.max()) or 1.0
    return [
        round(float(piece.max()) / loudest * 100) for piece in np.array_split(mono, STRETCHES) if piece.size
    ]


def measured_notes(file: BinaryIO, keys: tuple[int, ...], a4_hz: float) -> tuple[tuple[dict, ...], str]:
    """The fields of a HeardNote for each key, and why one or all are missing."""
    try:
        sound = read_sound(file)
        mono = sound.mono.astype(float)
        pieces = [mono] if len(keys) == 1 else notes_of(mono, sound.rate, len(keys))
    except NotATone as refused:
        return (), str(refused)
    heard, missed = [], []
    for key, piece in zip(keys, pieces, strict=True):
        try:
            heard.append(_note(piece, sound.rate, key, frequency_hz(key, a4_hz), alone=len(keys) == 1))
        except NotATone as refused:
            missed.append((key, str(refused)))
    if not missed:
        return tuple(heard), ""
    which = ", ".join(note_label(key) for key, _ in missed[:4])
    return tuple(heard), f"Not measured: {which}. {missed[0][1]}"


def _note(sound: np.ndarray, rate: int, key: int, expected_hz: float, *, alone: bool) -> dict:
    pitch = pitch_of(sound, rate, expected_hz)
    colour = colour_of(pitch.partials)
    return {
        "key": key,
        "f1_hz": _exact(pitch.f1_hz, 4),
        "inharmonicity": None if pitch.inharmonicity is None else _exact(min(pitch.inharmonicity, 9.0), 8),
        "level_db": _exact(level_db(sound, rate), 2),
        "centre": _exact(colour.centre, 3),
        "partials": [[each.number, round(each.hz, 2), round(each.db, 1)] for each in pitch.partials],
        "curve": _curve(sound, rate),
        # A note of a run is let go before its after-sound can be told.
        **(_decay(sound, rate, pitch) if alone else {}),
    }


def _decay(sound: np.ndarray, rate: int, pitch) -> dict:
    try:
        decay = decay_of(sound, rate, [each.hz for each in pitch.partials])
    except NotATone:
        return {}
    if not 0 < decay.early_db_s < 1000:
        return {}
    return {
        "early_db_s": _exact(decay.early_db_s, 2),
        "late_db_s": None if decay.late_db_s is None else _exact(decay.late_db_s, 2),
        "turn_s": None if decay.turn_s is None else _exact(decay.turn_s, 2),
    }


def _curve(sound: np.ndarray, rate: int) -> list[float]:
    struck = sound[onset_of(sound, rate) :][: round(CURVE_S * rate)]
    levels = levels_of(struck, round(CURVE_STEP_S * rate))
    return [round(float(20 * np.log10(max(level, 1e-5))), 1) for level in levels]


def _exact(value: float, places: int) -> Decimal:
    return Decimal(f"{value:.{places}f}")
