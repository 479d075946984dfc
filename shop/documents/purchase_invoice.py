"""A purchase invoice that the shop writes for a seller who writes none, and what the seller declares."""

from dataclasses import dataclass
from datetime import date

from instruments.documents.content import Fact, MoneyLine, Party


@dataclass(frozen=True)
class PurchaseInvoice:
    """The buyer is the shop. `money` ends with the total, to which nothing is added."""

    number: str
    bought_on: date
    shop: Party
    seller: Party
    stock_number: str
    description: str
    facts: tuple[Fact, ...]
    money: tuple[MoneyLine, ...]
    declared: tuple[str, ...]
    told: tuple[str, ...] = ()
    against: str = ""  # the sale that a part exchange is allowed against
    notes: tuple[str, ...] = ()
    corrects: str = ""


def build_purchase_invoice(invoice: PurchaseInvoice) -> bytes:
    """The PDF, on one page for ordinary words. Never fails on its words."""
    # ReportLab is slow to load; whoever only reads a page of the shop does not wait for it.
    from shop.documents.buying_layout import lay_out_invoice

    return lay_out_invoice(invoice)


@dataclass(frozen=True)
class OwnersAgreement:
    """Sale or return: the instrument stays its owner's until it is sold."""

    number: str
    agreed_on: date
    shop: Party
    owner: Party
    stock_number: str
    description: str
    facts: tuple[Fact, ...]
    money: tuple[MoneyLine, ...]
    days: tuple[Fact, ...]
    clauses: tuple[str, ...]
    special: str = ""


def build_owners_agreement(agreement: OwnersAgreement) -> bytes:
    """The PDF, on one page for ordinary words. Never fails on its words."""
    # ReportLab is slow to load; whoever only reads a page of the shop does not wait for it.
    from shop.documents.buying_layout import lay_out_agreement

    return lay_out_agreement(agreement)
