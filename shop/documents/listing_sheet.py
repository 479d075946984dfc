"""The printed sheet that stands on a piano or goes home with a visitor: what it says, as plain data."""

from dataclasses import dataclass, field
from datetime import date

from instruments.documents.content import DoneItem, Fact, Party, Photo
from instruments.drawings.shapes import Drawing


@dataclass(frozen=True)
class ListingSheet:
    shop: Party
    maker: str
    sentence: str
    price: str
    stock_number: str
    printed_on: date
    facts: tuple[Fact, ...] = ()
    paragraphs: tuple[str, ...] = ()
    done: tuple[DoneItem, ...] = ()
    not_done: tuple[str, ...] = ()
    faults: tuple[str, ...] = ()
    limits: tuple[str, ...] = ()
    not_examined: tuple[str, ...] = ()
    compass: str = ""
    keyboard: Drawing | None = field(default=None, metadata={"hashed": False})  # follows from the compass
    photos: tuple[Photo, ...] = ()
    trial: str = ""
    guarantee: str = ""
    delivery: str = ""
    cautions: tuple[str, ...] = ()
    public_address: str = ""
    price_note: str = ""


def build_listing_sheet(sheet: ListingSheet) -> bytes:
    """The PDF: one A4 page where it fits, further pages where it does not. Never fails on its words."""
    # ReportLab is slow to load; whoever only reads a page of the shop does not wait for it.
    from shop.documents.listing_layout import lay_out

    return lay_out(sheet)
