"""A receipt for money taken or given back, as plain data."""

from dataclasses import dataclass
from datetime import date

from instruments.documents.content import MoneyLine, Party


@dataclass(frozen=True)
class ReceiptPaper:
    title: str
    number: str
    dated: date
    shop: Party
    customer: Party
    facts: tuple[tuple[str, str], ...]
    toward: str
    sums: tuple[MoneyLine, ...]
    stands: tuple[MoneyLine, ...] = ()  # before and after, as of this payment
    terms: tuple[str, ...] = ()  # what a deposit was taken on
    tax_words: tuple[str, ...] = ()


def build_receipt(receipt: ReceiptPaper) -> bytes:
    # ReportLab is slow to load; whoever only reads a page of the shop does not wait for it.
    from shop.documents.receipt_layout import lay_out

    return lay_out(receipt)
