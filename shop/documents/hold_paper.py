"""The paper of a hold, with the terms of its deposit, as plain data."""

from dataclasses import dataclass
from datetime import date

from instruments.documents.content import Party


@dataclass(frozen=True)
class HoldPaper:
    number: str
    dated: date
    shop: Party
    customer: Party
    facts: tuple[tuple[str, str], ...]
    description: str
    terms: tuple[str, ...]
    also: str = ""  # what else was agreed, as it was typed
    extends: str = ""  # the number of the hold that this is an extension of


def build_hold_paper(paper: HoldPaper) -> bytes:
    # ReportLab is slow to load; whoever only reads a page of the shop does not wait for it.
    from shop.documents.hold_paper_layout import lay_out

    return lay_out(paper)
