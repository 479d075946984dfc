"""The key sheet for the bench: the marked keyboard, each mark with boxes to tick, lines for more."""

from dataclasses import dataclass, field
from datetime import date

from instruments.drawings.shapes import Drawing


@dataclass(frozen=True)
class KeySheetLine:
    """One fault at one key: "C4, key 40", "Sticks", and what was noted with it."""

    key: str
    fault: str
    note: str = ""


@dataclass(frozen=True)
class KeySheetGroup:
    """One fault, with what was noted, and every key that bears it so: "C4, 40"."""

    fault: str
    note: str
    keys: tuple[str, ...]


@dataclass(frozen=True)
class KeySheet:
    """With `groups` the marks are printed by fault, without by key."""

    stock_number: str
    name: str
    compass: str
    said: str
    printed_on: date
    lines: tuple[KeySheetLine, ...]
    groups: tuple[KeySheetGroup, ...] = field(metadata={"hashed": False})  # the lines again, by fault
    strip: Drawing = field(metadata={"hashed": False})  # follows from the lines


def build_key_sheet(sheet: KeySheet) -> bytes:
    """The PDF, on as many A4 pages as the marks take."""
    # ReportLab is slow to load; whoever only reads a page does not wait for it.
    from instruments.documents.key_sheet_layout import lay_out

    return lay_out(sheet)
