"""The worksheet for the bench: what is to be done, in the order of work, room to write and a way back."""

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True)
class WorksheetItem:
    """One item. `writes` names the lines to write on; the address is behind its code."""

    number: int
    name: str
    told: str
    address: str
    waits: str = ""
    keys: str = ""
    note: str = ""
    done_when: str = ""
    caution: str = ""
    writes: tuple[str, ...] = ()


@dataclass(frozen=True)
class WorksheetOrder:
    title: str
    number: str
    instrument: str
    stock_number: str
    told: str
    address: str
    note: str = ""
    items: tuple[WorksheetItem, ...] = ()


@dataclass(frozen=True)
class Worksheet:
    title: str
    said: str
    number: str
    printed_on: date
    orders: tuple[WorksheetOrder, ...] = ()


def build_worksheet(sheet: Worksheet) -> bytes:
    """The PDF, on as many A4 pages as the work takes."""
    # ReportLab is slow to load; whoever only reads a page does not wait for it.
    from workorders.documents.worksheet_layout import lay_out

    return lay_out(sheet)
