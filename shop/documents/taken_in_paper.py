"""The receipt for a customer's own instrument, and the paper it goes home with, as plain data."""

from dataclasses import dataclass
from datetime import date

from instruments.documents.content import ConditionLine, DoneItem, Fact, Party, Photo


@dataclass(frozen=True)
class TakenInPaper:
    """With `handed_back_on` it is the paper for handing it back, and tells what was done and measured."""

    number: str
    dated: date
    shop: Party
    customer: Party
    instrument: str
    facts: tuple[Fact, ...]
    condition: str
    accessories: str = ""
    examined: tuple[ConditionLine, ...] = ()
    terms: str = ""
    taken_in_on: date | None = None
    until: date | None = None
    handed_back_on: date | None = None
    handed_back_to: str = ""
    handed_back_note: str = ""
    done: tuple[DoneItem, ...] = ()
    limits: tuple[str, ...] = ()
    earlier: tuple[str, ...] = ()  # what was done at its other visits
    photos: tuple[Photo, ...] = ()


def build_taken_in_paper(paper: TakenInPaper) -> bytes:
    """The PDF. Never fails on its words."""
    # ReportLab is slow to load; whoever only reads a page of the shop does not wait for it.
    from shop.documents.taken_in_layout import lay_out

    return lay_out(paper)
