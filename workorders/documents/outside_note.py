"""The note that goes with a piece to an outworker: what goes, for what, promised when, signed for twice."""

from dataclasses import dataclass
from datetime import date

from instruments.documents.content import Party


@dataclass(frozen=True)
class OutsideNote:
    number: str
    house: Party
    outworker: Party
    trade: str
    kind: str
    work: str
    goes: str
    stock_number: str
    instrument: str
    order: str
    items: tuple[str, ...]
    condition: str
    sent_on: date | None
    promised_on: date | None
    printed_on: date
    cautions: tuple[str, ...] = ()


def build_outside_note(note: OutsideNote) -> bytes:
    """The PDF, one A4 page. It names no price: that is between the two of us."""
    # ReportLab is slow to load; whoever only reads a page does not wait for it.
    from workorders.documents.outside_note_layout import lay_out

    return lay_out(note)
