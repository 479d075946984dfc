"""The stock on a few sheets: several instruments to a page, as plain data."""

from dataclasses import dataclass
from datetime import date

from instruments.documents.content import Fact, Party, Photo
from instruments.drawings.shapes import Drawing


@dataclass(frozen=True)
class Entry:
    stock_number: str
    maker: str
    sentence: str
    price: str
    state: str
    facts: tuple[Fact, ...]
    photo: Photo | None = None
    drawing: Drawing | None = None  # where there is no photograph; its figures are among the facts


@dataclass(frozen=True)
class Overview:
    shop: Party
    title: str
    note: str
    printed_on: date
    entries: tuple[Entry, ...]
    is_ours: bool = False  # not to be handed out


def build_overview(overview: Overview) -> bytes:
    """The PDF: A4, some six instruments to a page."""
    # ReportLab is slow to load; whoever only reads a page of the shop does not wait for it.
    from shop.documents.overview_layout import lay_out

    return lay_out(overview)
