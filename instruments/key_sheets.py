"""From the marks on file to the key sheet."""

from datetime import date

from instruments.calc.compass import note_label
from instruments.calc.key_lists import key_place
from instruments.documents.key_sheet import KeySheet, KeySheetGroup, KeySheetLine, build_key_sheet
from instruments.key_marks import KeyStrip, key_strip_of
from instruments.models import Instrument

PAPER_ROWS = 2  # of the keyboard: in one row the signs would be too small to read at arm's length


def key_sheet_pdf(instrument: Instrument, *, on: date) -> bytes:
    strip = key_strip_of(instrument)
    sheet = KeySheet(
        stock_number=instrument.stock_number,
        name=instrument.maker_name,
        compass=f"{instrument.compass_words}.",
        said=strip.sentence.rstrip("."),
        printed_on=on,
        lines=tuple(
            KeySheetLine(f"{key.name}, key {key.place}", mark.get_fault_display(), mark.note)
            for key in strip.marked
            for mark in key.marks
        ),
        groups=_groups(strip),
        strip=strip.drawing(rows=PAPER_ROWS),
    )
    return build_key_sheet(sheet)


def _groups(strip: KeyStrip) -> tuple[KeySheetGroup, ...]:
    """By fault and note, in the order of the faults; none where that is no shorter than key by key."""
    first_key = strip.instrument.first_key
    gathered: dict[tuple[str, str], list[str]] = {}
    for line in strip.faults:
        for mark in sorted(line.marks, key=lambda mark: mark.key):
            named = f"{note_label(mark.key)}, {key_place(mark.key, first_key)}"
            gathered.setdefault((line.fault.label, mark.note), []).append(named)
    if len(gathered) == len(strip.marks):
        return ()
    return tuple(KeySheetGroup(fault, note, tuple(keys)) for (fault, note), keys in gathered.items())
