"""Recordings of the invented pianos: synthesised from made-up strings, and called so where they are heard."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

import numpy as np
from django.core.files.uploadedfile import SimpleUploadedFile

from instruments.actions.recordings import add_recording, set_breaks
from instruments.actions.tone import set_tone
from instruments.calc.compass import frequency_hz
from instruments.recordings import notes_in, prepare_recording, stored_recording
from instruments.sound_report import a4_of
from instruments.sound_states import Register, ToneWord
from instruments.tunings import last_tuned
from instruments.wav import wav_bytes
from shop.demo.diary import Diary
from shop.demo.shop_at_work import ShopAtWork

RATE = 22_050
RECORDED_DAYS_AGO = 12
SYNTHESISED = "Synthesised by the program for this demonstration: no piano was recorded."
# Seconds from the begin, and the keys struck then: the same broken chord for each.
PASSAGE = (
    (0, (40,)),
    (0.45, (44,)),
    (0.9, (47,)),
    (1.35, (52,)),
    (1.8, (56,)),
    (2.25, (52,)),
    (3.15, (28, 40)),
)
RUN_EACH_S, RUN_SIDE = 1.1, 5
HEARD = {
    Register.TENOR: "Middle C, struck once, an even tone that dies away within five seconds.",
    Register.BASS_BREAK: "Twelve notes one by one across the bass break, alike above and below it.",
    Register.PASSAGE: "A broken chord of C up and down, then C in two octaves at once.",
}
ACROSS_A_STEP = "Twelve notes one by one across the bass break; those below it are clearly louder."


@dataclass(frozen=True)
class Strings:
    """How one is made to sound: `tilt` is how fast partials fall, `step_db` how uneven the bass break is."""

    key: str
    tilt: float
    stiffness: float
    cents: float
    fall: float
    db: float
    bass_break: int
    step_db: float = 0.0


PIANOS = (
    Strings("halden-1912", tilt=1.35, stiffness=4.5e-4, cents=-2, fall=1.0, db=-8, bass_break=28),
    Strings("orrin-grand", tilt=1.0, stiffness=3.5e-4, cents=3, fall=0.8, db=-4, bass_break=22, step_db=6.0),
    Strings("nordlycke-1964", tilt=0.85, stiffness=5.0e-4, cents=1, fall=1.2, db=-12, bass_break=29),
)

TO_OUR_EAR = {
    "halden-1912": [ToneWord.WARM, ToneWord.SINGING],
    "orrin-grand": [ToneWord.FULL],
    "nordlycke-1964": [ToneWord.BRIGHT, ToneWord.CLEAR],
}


def tell_sounds(shop: ShopAtWork, diary: Diary) -> None:
    for strings in PIANOS:
        diary.on(RECORDED_DAYS_AGO, lambda on, strings=strings: record(strings, shop, on))


def record(strings: Strings, shop: ShopAtWork, on: date) -> None:
    instrument, by = shop.instrument(strings.key), shop.staff["tobias"]
    set_breaks(instrument=instrument, bass=strings.bass_break, treble=None, by=by)
    set_tone(instrument=instrument, words=TO_OUR_EAR[strings.key], on=on, by=by)
    tuned = last_tuned(instrument, by_day=on)
    for register, keys, sound in played(strings):
        prepared = prepare_recording(
            SimpleUploadedFile(f"{strings.key}-{register}.wav", wav_bytes(sound, RATE), "audio/wav")
        )
        heard = notes_in(prepared.upload, keys, a4_of(instrument))
        with stored_recording(prepared) as stored:
            add_recording(
                instrument=instrument,
                heard=heard,
                by=by,
                register=register,
                low_key=keys[0] if keys else None,
                high_key=keys[-1] if keys else None,
                recorded_on=on,
                temperature_c=Decimal(18),
                humidity_percent=Decimal(50),
                tuned_days=(on - tuned).days if tuned else None,
                device="a synthesiser",
                remark=SYNTHESISED,
                sound_words=heard_in(strings, register),
                is_public=True,
                **stored.fields,
            )
            stored.keep()


def heard_in(strings: Strings, register: Register) -> str:
    uneven = register == Register.BASS_BREAK and strings.step_db
    return ACROSS_A_STEP if uneven else HEARD[register]


def played(strings: Strings) -> Iterator[tuple[Register, tuple[int, ...], np.ndarray]]:
    yield Register.TENOR, (40,), with_room(strings, [(struck(strings, 40, 5.0), 0.0)])
    run = tuple(range(strings.bass_break - RUN_SIDE, strings.bass_break + RUN_SIDE + 2))
    notes = [(struck(strings, key, RUN_EACH_S), place * RUN_EACH_S) for place, key in enumerate(run)]
    yield Register.BASS_BREAK, run, with_room(strings, notes)
    yield (
        Register.PASSAGE,
        (),
        with_room(strings, [(struck(strings, key, 2.5), at) for at, keys in PASSAGE for key in keys]),
    )


def struck(strings: Strings, key: int, seconds: float) -> np.ndarray:
    """Partials at n f sqrt(1 + B n²), each with a prompt and an after-sound; damped at the end."""
    t = np.arange(round(RATE * seconds)) / RATE
    turns = np.random.default_rng(key).uniform(0, 2 * np.pi, 14)
    early, late = (10 + 0.35 * key) * strings.fall, (1.5 + 0.05 * key) * strings.fall
    envelope = 10 ** (-early * t / 20) + 0.2 * 10 ** (-late * t / 20)
    f = frequency_hz(key) * 2 ** (strings.cents / 1200)
    sound = np.zeros_like(t)
    for n, turn in enumerate(turns, start=1):
        hz = n * f * np.sqrt((1 + strings.stiffness * n * n) / (1 + strings.stiffness))
        if hz < RATE * 0.45:
            sound += np.sin(2 * np.pi * hz * t + turn) / n**strings.tilt
    uneven = strings.step_db if key <= strings.bass_break else 0.0
    spread = np.random.default_rng(1000 + key).uniform(-0.6, 0.6)
    damped = np.minimum(1, (seconds - t) / 0.08)
    return sound * envelope * damped * 10 ** ((uneven + spread) / 20)


def with_room(strings: Strings, notes: list[tuple[np.ndarray, float]]) -> np.ndarray:
    """The notes at their times, after a moment of a quiet room."""
    length = max(round(at * RATE) + len(note) for note, at in notes) + RATE // 4
    sound = np.zeros(length)
    for note, at in notes:
        begin = RATE // 4 + round(at * RATE)
        sound[begin : begin + len(note)] += note[: length - begin]
    sound *= 10 ** (strings.db / 20) * 0.9 / np.abs(sound).max()
    return sound + np.random.default_rng(7).normal(0, 3e-4, length)
