"""The marks of an instrument as a page or a paper shows them: key by key and fault by fault."""

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from functools import cached_property
from itertools import groupby

from instruments.calc.compass import count_word, is_sharp, note_label, top_key
from instruments.calc.key_lists import key_place, keys_text
from instruments.drawings.key_strip import KeySign, key_strip_drawing
from instruments.drawings.keyboard import Layout
from instruments.drawings.shapes import Drawing
from instruments.key_faults import FAULTS_IN_ORDER, SIGNS, KeyFault
from instruments.models import Instrument, KeyMark, KeyMarkClearing
from instruments.models.together import asking

MOST_ROWS_READ = 400  # of marks, or clearings, gone through for the newest entries of the record


@dataclass(frozen=True)
class StripKey:
    """One key of the drawn keyboard, with its open marks."""

    key: int
    place: int
    is_ghost: bool
    marks: tuple[KeyMark, ...] = ()

    @property
    def name(self) -> str:
        return note_label(self.key)

    @property
    def is_sharp(self) -> bool:
        return is_sharp(self.key)

    @property
    def words(self) -> str:
        """As it is read out: "C4, key 40, marked: sticks, slow to return"."""
        told = ", ".join(mark.get_fault_display().lower() for mark in self.marks)
        return f"{self.name}, key {self.place}" + (f", marked: {told}" if told else "")


@dataclass(frozen=True)
class FaultLine:
    """One fault and every key that bears it."""

    fault: KeyFault
    marks: tuple[KeyMark, ...]
    keys: str

    @property
    def sign(self) -> KeySign:
        return sign_of(self.fault)


@dataclass(frozen=True)
class KeyStrip:
    """An instrument's keyboard and its open marks. Marks beyond a corrected compass stay out of it."""

    instrument: Instrument
    marks: tuple[KeyMark, ...]

    @cached_property
    def _by_key(self) -> dict[int, list[KeyMark]]:
        found: dict[int, list[KeyMark]] = {}
        for mark in sorted(self.marks, key=lambda mark: (mark.key, _place_of(mark.fault))):
            found.setdefault(mark.key, []).append(mark)
        return found

    @cached_property
    def keys(self) -> list[StripKey]:
        """Every key of the 88 and whatever this keyboard has beyond, lowest first."""
        layout = Layout(self.instrument.first_key, self.instrument.key_count)
        return [
            StripKey(
                key=key,
                place=key_place(key, self.instrument.first_key),
                is_ghost=not layout.holds(key),
                marks=tuple(self._by_key.get(key, ())),
            )
            for key in layout.shown_keys
        ]

    @property
    def octaves(self) -> list[StripKey]:
        """Where a long strip can be jumped to: its first key and every C."""
        own = [key for key in self.keys if not key.is_ghost]
        return [key for key in own if key is own[0] or (key.name.startswith("C") and not key.is_sharp)]

    @property
    def marked(self) -> list[StripKey]:
        return [key for key in self.keys if key.marks]

    @cached_property
    def faults(self) -> list[FaultLine]:
        by_fault = {fault: [mark for mark in self.marks if mark.fault == fault] for fault in FAULTS_IN_ORDER}
        return [
            FaultLine(fault, tuple(marks), self.keys_in_words(mark.key for mark in marks))
            for fault, marks in by_fault.items()
            if marks
        ]

    def keys_in_words(self, keys: Iterable[int]) -> str:
        return keys_text(keys, self.instrument.first_key, self.instrument.key_count)

    @property
    def sentence(self) -> str:
        marked = len(self.marked)
        if not marked:
            return "No key is marked."
        return f"{count_word(marked).capitalize()} key{' is' if marked == 1 else 's are'} marked."

    def drawing(self, *, rows: int = 1) -> Drawing:
        signs = {key.key: [sign_of(mark.fault) for mark in key.marks] for key in self.marked}
        return key_strip_drawing(self.instrument.first_key, self.instrument.key_count, signs, rows=rows)


@dataclass(frozen=True)
class MarkEntry:
    """What was marked or cleared in one go, in a sentence, for the record."""

    at: datetime
    by: object
    sentence: str


@asking
def key_strip_of(instrument: Instrument, marks: Collection[KeyMark] | None = None):
    """As `KeyStrip`, in one query; with `marks` given (all of this instrument's), in none."""
    if marks is None:
        (marks,) = yield (instrument.key_marks.open().select_related("marked_by", "photo"),)
    top = top_key(instrument.first_key, instrument.key_count)
    return KeyStrip(instrument, tuple(mark for mark in marks if instrument.first_key <= mark.key <= top))


def sign_of(fault: str) -> KeySign:
    sign = SIGNS[KeyFault(fault)]
    return KeySign(sign.kind.value, sign.letter, KeyFault(fault).label)


@asking
def mark_entries(instrument: Instrument, *, most: int):
    """The newest markings and clearings, each as one `MarkEntry` however many keys it touched."""
    marks = instrument.key_marks.select_related("marked_by").order_by("-id")[:MOST_ROWS_READ]
    clearings = (
        KeyMarkClearing.objects.filter(mark__instrument=instrument)
        .select_related("cleared_by", "mark")
        .order_by("-id")[:MOST_ROWS_READ]
    )
    marks, clearings = yield marks, clearings
    entries = [*_markings(instrument, marks), *_clearings(instrument, clearings)]
    return sorted(entries, key=lambda entry: entry.at, reverse=True)[:most]


def _markings(instrument: Instrument, marks: Iterable[KeyMark]) -> Iterator[MarkEntry]:
    for (at, fault), group in groupby(marks, key=lambda mark: (mark.recorded_at, mark.fault)):
        marked = list(group)
        keys = keys_text((mark.key for mark in marked), instrument.first_key, instrument.key_count)
        note = f". {marked[0].note}" if marked[0].note else ""
        yield MarkEntry(at, marked[0].marked_by, f"Marked “{KeyFault(fault).label}”: {keys}{note}")


def _clearings(instrument: Instrument, clearings: Iterable[KeyMarkClearing]) -> Iterator[MarkEntry]:
    """One entry for each fault cleared in one go."""
    ordered = sorted(clearings, key=lambda row: (row.recorded_at, _place_of(row.mark.fault)))
    for (at, fault), group in groupby(ordered, key=lambda row: (row.recorded_at, row.mark.fault)):
        cleared = list(group)
        keys = keys_text((row.mark.key for row in cleared), instrument.first_key, instrument.key_count)
        how = cleared[0].get_how_display()
        words = f"“{KeyFault(fault).label}” cleared {how}: {keys}. {cleared[0].found}"
        yield MarkEntry(at, cleared[0].cleared_by, words)


def _place_of(fault: str) -> int:
    return FAULTS_IN_ORDER.index(KeyFault(fault))
