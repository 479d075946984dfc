"""A delivery note as plain data: what goes where, by whom, and how it is; for a sale or a home trial."""

from dataclasses import dataclass
from datetime import date

from instruments.documents.content import ConditionLine, Fact, Party


@dataclass(frozen=True)
class DeliveryNote:
    """`reference` names the agreement it belongs to, such as "Sale S26-014"."""

    number: str
    dated: date
    reference: str
    shop: Party
    customer: Party
    instrument: str
    facts: tuple[Fact, ...]
    address: str
    planned_on: date | None = None
    access: str = ""
    mover: str = ""
    note: str = ""
    condition_words: str = ""
    condition: tuple[ConditionLine, ...] = ()
    handed_over_on: date | None = None
    received_by: str = ""
    set_up_on: date | None = None
    climate: str = ""


def build_delivery_note(note: DeliveryNote) -> bytes:
    # ReportLab is slow to load; whoever only reads a page of the shop does not wait for it.
    from shop.documents.delivery_note_layout import lay_out

    return lay_out(note)
