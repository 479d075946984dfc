"""The file on one instrument's protected materials: one sheet, as plain data."""

from dataclasses import dataclass
from datetime import date

from instruments.documents.content import Fact, Party


@dataclass(frozen=True)
class ActLine:
    """`level` as calc.protected has it, `verdict` its word."""

    act: str
    level: str
    verdict: str
    why: str
    source: str = ""


@dataclass(frozen=True)
class ProtectedSheet:
    shop: Party
    stock_number: str
    maker: str
    sentence: str
    serial: str
    law: str
    printed_on: date
    found: tuple[Fact, ...]
    amounts: tuple[Fact, ...]
    papers: tuple[Fact, ...]
    acts: tuple[ActLine, ...]
    caution: str


def build_protected_sheet(sheet: ProtectedSheet) -> bytes:
    """The PDF, one page for what is usually found. Never fails on its words."""
    # ReportLab is slow to load; whoever only reads a page of the shop does not wait for it.
    from shop.documents.protected_layout import lay_out

    return lay_out(sheet)
