"""A condition sheet for two signatures: one walk round an instrument, or two side by side, as plain data."""

from dataclasses import dataclass
from datetime import date

from instruments.documents.content import Fact, Party, Photo


@dataclass(frozen=True)
class Walked:
    """The head of one report: why, when, in which air, and who wrote its lines."""

    occasion: str
    looked_on: date
    climate: str = ""
    by: str = ""
    note: str = ""
    is_open: bool = False


@dataclass(frozen=True)
class Cell:
    """What one report says of a part; the grade is never empty, "not looked at" is said."""

    grade: str
    note: str = ""


@dataclass(frozen=True)
class PartRow:
    part: str
    cells: tuple[Cell, ...]
    differs: str = ""  # "Worse", "Better", "Differs", with what was measured


@dataclass(frozen=True)
class Signer:
    role: str
    name: str = ""


@dataclass(frozen=True)
class ConditionSheet:
    """`walks` holds one report or two; every row has as many cells."""

    shop: Party
    stock_number: str
    maker: str
    sentence: str
    printed_on: date
    facts: tuple[Fact, ...]
    walks: tuple[Walked, ...]
    rows: tuple[PartRow, ...]
    signers: tuple[Signer, Signer]
    photos: tuple[Photo, ...] = ()
    photos_left_out: int = 0


def build_condition_sheet(sheet: ConditionSheet) -> bytes:
    """The PDF: one page for short notes, two for many. Never fails on its words."""
    # ReportLab is slow to load; whoever only reads a page of the shop does not wait for it.
    from shop.documents.condition_layout import lay_out

    return lay_out(sheet)
