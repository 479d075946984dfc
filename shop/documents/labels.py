"""Labels for instruments on a sheet: what they say, as plain data."""

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True)
class Label:
    stock_number: str
    maker: str
    serial: str
    address: str  # where its code leads


@dataclass(frozen=True)
class LabelPaper:
    shop_name: str
    labels: tuple[Label, ...]
    printed_on: date
    sheet: str = "21"  # a key of SHEETS
    first: int = 1
    right_mm: int = 0
    down_mm: int = 0


def build_labels(paper: LabelPaper) -> bytes:
    """The PDF: as many A4 sheets as it takes. ValueError where the sheet has no place `first`."""
    # ReportLab is slow to load; whoever only reads a page of the shop does not wait for it.
    from shop.documents.labels_layout import lay_out

    return lay_out(paper)
