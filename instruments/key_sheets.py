"""From the marks on file to the key sheet."""

from datetime import date

from instruments.documents.key_sheet import KeySheet, KeySheetLine, build_key_sheet
from instruments.key_marks import key_strip_of
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
        strip=strip.drawing(rows=PAPER_ROWS),
    )
    return build_key_sheet(sheet)
