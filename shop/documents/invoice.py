"""An invoice or a credit note as plain data. Fields by scheme: gov.uk, VAT margin schemes, keeping records
(sales side from memory); Directive 2006/112/EC arts 226 and 325; VAT Regulations 1995 reg. 14 (from memory).
"""

from dataclasses import dataclass
from datetime import date

from instruments.documents.content import MoneyLine, Party
from shop.documents.cancelling import Cancelling


@dataclass(frozen=True)
class Invoice:
    title: str
    number: str
    dated: date
    shop: Party
    customer: Party
    facts: tuple[tuple[str, str], ...]
    description: str
    sums: tuple[MoneyLine, ...]
    wording: tuple[str, ...]
    vat_number: str = ""
    payments: tuple[MoneyLine, ...] = ()
    stages: tuple[MoneyLine, ...] = ()  # when it is to be paid, as agreed
    closing: str = ""
    cancelling: Cancelling | None = None  # where it was not agreed in the shop


def build_invoice(invoice: Invoice) -> bytes:
    # ReportLab is slow to load; whoever only reads a page of the shop does not wait for it.
    from shop.documents.invoice_layout import lay_out

    return lay_out(invoice)
