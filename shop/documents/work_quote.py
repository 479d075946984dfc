"""A quote for work that a customer wishes, as plain data. Signed, the paper is the approval."""

from dataclasses import dataclass
from datetime import date

from instruments.documents.content import Fact, Party


@dataclass(frozen=True)
class WishLine:
    words: str
    amount: str
    note: str = ""  # what a touch wish comes to
    is_irreversible: bool = False
    caution: str = ""  # what is lost by it


@dataclass(frozen=True)
class WorkQuote:
    number: str
    version: int
    title: str
    issued_on: date
    valid_until: date
    shop: Party
    customer: Party
    instrument: str
    facts: tuple[Fact, ...]
    wishes: tuple[WishLine, ...]
    total: str
    deposit: str = ""
    extras_cap: str = ""
    paid: str = ""
    note: str = ""
    changed: tuple[str, ...] = ()  # what differs from the version before
    is_own_instrument: bool = False


def build_work_quote(quote: WorkQuote) -> bytes:
    """The PDF. Never fails on its words."""
    # ReportLab is slow to load; whoever only reads a page of the shop does not wait for it.
    from shop.documents.work_quote_layout import lay_out

    return lay_out(quote)
