"""What the recordings of an instrument say, in plain words: note by note, and across the breaks."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property

from instruments.calc.compass import frequency_hz, note_label
from instruments.calc.exact import plain
from instruments.calc.pitch import deviation_cents
from instruments.calc.pitch_surveys import deviation_words
from instruments.calc.tone.breaks import CLEARLY_MORE, BreakStep, breaks_by_size
from instruments.calc.tone.sharing import shares_percent
from instruments.models import Breaks, HeardNote, Instrument, Recording, house_a4_hz
from instruments.sound_states import HOW_TO_PLAY, Register

BREAK_NAMES = {"bass": "Bass break", "treble": "Treble break"}


def a4_of(instrument: Instrument) -> float:
    """The A4 it is held against: of its newest survey of pitch, else the shop's."""
    newest = instrument.pitch_surveys.first()
    return float(newest.a4_hz if newest else house_a4_hz())


def breaks_of(instrument: Instrument) -> Breaks | None:
    return getattr(instrument, "breaks", None)


@dataclass(frozen=True)
class NoteReport:
    """One heard note against where it should be."""

    note: HeardNote
    a4_hz: float

    @property
    def name(self) -> str:
        return note_label(self.note.key)

    @property
    def cents(self) -> float:
        return deviation_cents(self.note.key, float(self.note.f1_hz), self.a4_hz)

    @property
    def pitch_words(self) -> str:
        wanted = frequency_hz(self.note.key, self.a4_hz)
        said = f"{self.note.f1_hz:.1f} Hz: {deviation_words(self.cents)}"
        return f"{said}, held against {wanted:.1f} Hz (equal temperament, A4 at {self.a4_hz:g} Hz)."

    @property
    def stiffness_words(self) -> str:
        if self.note.inharmonicity is None:
            return "Too few partials stand out to tell."
        return f"B = {plain(round(self.note.inharmonicity, 6))}. The stiffer its strings, the larger."

    @property
    def decay_words(self) -> str:
        note = self.note
        if note.early_db_s is None:
            return "Not measured: it has to ring by itself until it has died away."
        if note.late_db_s is None:
            return f"It falls evenly, by {note.early_db_s:.0f} dB a second."
        return (
            f"It falls by {note.early_db_s:.0f} dB a second at first, and from {note.turn_s:.1f} s on by"
            f" {note.late_db_s:.1f} dB a second."
        )

    @property
    def falls(self) -> list[tuple[float, float, float, float]]:
        """Begin and end in seconds, dB at the begin, dB a second."""
        if self.note.early_db_s is None:
            return []
        early = float(self.note.early_db_s)
        if self.note.late_db_s is None:
            return [(0.0, 99.0, 0.0, early)]
        turn, late = max(0.0, float(self.note.turn_s)), float(self.note.late_db_s)
        return [(0.0, turn, 0.0, early), (turn, 99.0, -early * turn, late)]

    @property
    def colour_words(self) -> str:
        low, middle, high = shares_percent((number, db) for number, _, db in self.note.partials)
        return (
            f"{low} % of its power lies in the first three partials, {middle} % in the fourth to eighth,"
            f" {high} % above."
        )

    @property
    def level_words(self) -> str:
        return f"{self.note.level_db:.0f} dB of full scale in its first second.".replace("-", "−")


@dataclass(frozen=True)
class RegisterRow:
    """One register with the recordings kept of it; without any it says how to play one."""

    register: Register
    recordings: tuple[Recording, ...]

    @property
    def label(self) -> str:
        return self.register.label

    @property
    def how(self) -> str:
        return HOW_TO_PLAY[self.register]


def by_register(recordings: Iterable[Recording], breaks: Breaks | None) -> list[RegisterRow]:
    """Every register in its order; the treble break only where there is one, or nobody has said."""
    kept = defaultdict(list)
    for recording in recordings:
        kept[recording.register].append(recording)
    has_none = {Register.TREBLE_BREAK} if breaks and breaks.treble is None else set()
    has_none |= {Register.BASS_BREAK} if breaks and breaks.bass is None else set()
    return [
        RegisterRow(register, tuple(kept[register]))
        for register in Register
        if kept[register] or register not in has_none
    ]


@dataclass(frozen=True)
class JudgedBreak:
    name: str
    last_below: int
    step: BreakStep
    unit: str
    of: str
    places: int

    @property
    def keys(self) -> tuple[int, int]:
        return self.last_below, self.last_below + 1

    @property
    def stands_out(self) -> bool:
        return self.step.times is None or self.step.times > CLEARLY_MORE

    @property
    def sentence(self) -> str:
        notes = f"{note_label(self.last_below)} to {note_label(self.last_below + 1)}"
        across, usual = (f"{each:.{self.places}f}" for each in (self.step.across, self.step.usual))
        return (
            f"{self.name}, {notes}, {self.of}: {self.step.words}. The step is {across} {self.unit};"
            f" between neighbours elsewhere it is usually {usual}."
        )


class BreakReport:
    """Steps across the breaks, from notes recorded the same way on one day: the sitting with most of them."""

    def __init__(self, recordings: Iterable[Recording], breaks: Breaks | None):
        self.recordings, self.breaks = list(recordings), breaks

    @cached_property
    def notes(self) -> dict[int, HeardNote]:
        sittings: dict[tuple, dict[int, HeardNote]] = defaultdict(dict)
        for recording in self.recordings:
            for note in recording.heard.all():
                sittings[recording.recorded_on, *recording.same_way].setdefault(note.key, note)
        return dict(sorted(max(sittings.values(), key=len, default={}).items()))

    @property
    def keys(self) -> tuple[int, ...]:
        both = (self.breaks.bass, self.breaks.treble) if self.breaks else ()
        return tuple(key for key in both if key is not None)

    @cached_property
    def judged(self) -> list[JudgedBreak]:
        """Level first, then colour; in each the most uneven break first."""
        named = {getattr(self.breaks, each, None): words for each, words in BREAK_NAMES.items()}
        level = {key: float(note.level_db) for key, note in self.notes.items()}
        colour = {key: float(note.centre) for key, note in self.notes.items()}
        return [
            JudgedBreak(named[key], key, step, unit, of, places)
            for figures, unit, of, places in ((level, "dB", "level", 1), (colour, "partials", "colour", 2))
            for key, step in breaks_by_size(figures, self.keys)
        ]

    @property
    def lacking(self) -> str:
        """Why nothing is judged."""
        if self.judged:
            return ""
        if not self.keys:
            return "Say where its breaks lie, and they can be judged."
        if not self.notes:
            return "Record a run of notes across each break, and it can be judged."
        return (
            "Both notes at a break and four more pairs of neighbours are needed, recorded on one day with the"
            " same telephone at the same distance."
        )
