"""How the papers of buying are set out: who, what, how much, what is declared, and two places to sign."""

from collections.abc import Iterable

from reportlab.platypus.flowables import Flowable

from instruments.documents import styles
from instruments.documents.columns import Columns
from instruments.documents.content import Fact, Party
from instruments.documents.dates import day_in_words
from instruments.documents.fingerprint import content_hash, in_fours
from instruments.documents.pieces import (
    Gap,
    Rule,
    Together,
    WritingLines,
    bulleted,
    facts_grid,
    heading,
    money_column,
)
from instruments.documents.sheet import WIDTH, Imprint, print_sheet
from instruments.documents.text import p
from shop.documents.letterhead import letterhead
from shop.documents.purchase_invoice import OwnersAgreement, PurchaseInvoice

GAP = 22
HALF = (WIDTH - GAP) / 2
TO_SIGN = ("Signature", "Name in capitals", "Date")
NOT_ADVICE = "Check the law in force; this paper is no legal or tax advice."


def lay_out_invoice(invoice: PurchaseInvoice) -> bytes:
    title = f"Purchase invoice {invoice.number}"
    corrected = f", in place of {invoice.corrects}" if invoice.corrects else ""
    pieces = [
        *letterhead(invoice.shop, f"{title}{corrected}\n{day_in_words(invoice.bought_on)}"),
        *p("Purchase invoice", styles.TITLE, kind="H1"),
        *p("Written by the buyer for a seller who issues none.", styles.SENTENCE),
        Rule(colour=styles.INK, before=7, after=6),
        *_two(("Sold by", invoice.seller), ("Bought by", invoice.shop)),
        *heading("What was bought"),
        *p(invoice.description, styles.DATA_STRONG),
        *facts_grid((Fact("Stock number", invoice.stock_number), *invoice.facts)),
        *heading("Price"),
        *money_column(invoice.money, width=HALF),
        *(p(invoice.against, styles.DATA) if invoice.against else []),
        *_told(invoice),
        *([*heading("Agreed besides"), *_listed(invoice.notes)] if invoice.notes else []),
        *_signing("The seller", invoice.seller.name, f"For {invoice.shop.name}"),
    ]
    subject = f"{invoice.description} bought from {invoice.seller.name}"
    return print_sheet(
        pieces,
        Imprint(
            title=title,
            subject=subject,
            shop_name=invoice.shop.name,
            number=invoice.number,
            dated=invoice.bought_on,
            content_hash=in_fours(content_hash(invoice)),
            running_head=f"{title}, continued",
        ),
    )


def lay_out_agreement(agreement: OwnersAgreement) -> bytes:
    title = f"Sale-or-return agreement {agreement.number}"
    pieces = [
        *letterhead(agreement.shop, f"Agreement {agreement.number}\n{day_in_words(agreement.agreed_on)}"),
        *p("Sale or return", styles.TITLE, kind="H1"),
        *p("The instrument stays its owner’s until the shop has sold it.", styles.SENTENCE),
        Rule(colour=styles.INK, before=7, after=6),
        *_two(("The owner", agreement.owner), ("The shop", agreement.shop)),
        *heading("The instrument"),
        *p(agreement.description, styles.DATA_STRONG),
        *facts_grid((Fact("Stock number", agreement.stock_number), *agreement.facts)),
        *heading("The money"),
        *money_column(agreement.money, width=HALF),
        *heading("The days"),
        *facts_grid(agreement.days, across=3),
        *heading("What is agreed"),
        *_listed(agreement.clauses),
        *([*heading("Agreed besides"), *p(agreement.special, styles.DATA)] if agreement.special else []),
        *_signing("The owner", agreement.owner.name, f"For {agreement.shop.name}"),
    ]
    return print_sheet(
        pieces,
        Imprint(
            title=title,
            subject=f"{agreement.description} of {agreement.owner.name}",
            shop_name=agreement.shop.name,
            number=agreement.number,
            dated=agreement.agreed_on,
            content_hash=in_fours(content_hash(agreement)),
            running_head=f"{title}, continued",
        ),
    )


def _told(invoice: PurchaseInvoice) -> list[Flowable]:
    declared = [*heading("The seller declares"), *_listed(invoice.declared)] if invoice.declared else []
    told = [*heading("What the seller told us of it"), *_listed(invoice.told)] if invoice.told else []
    return [*declared, *told]


def _listed(lines: Iterable[str]) -> list[Flowable]:
    return bulleted([p(line, styles.DATA) for line in lines], width=WIDTH)


def _two(left: tuple[str, Party], right: tuple[str, Party]) -> list[Flowable]:
    columns = [_party(*left), _party(*right)]
    return [Columns(columns, [HALF, HALF], gap=GAP, space_after=2)]


def _party(label: str, party: Party) -> list[Flowable]:
    where = "\n".join(line.strip() for line in party.address.splitlines() if line.strip())
    return [
        *p(label, styles.LABEL),
        *p(party.name, styles.DATA_STRONG),
        *p(where, styles.DATA),
        *p(" \u00b7 ".join(each for each in party.contacts if each), styles.BASIS),
    ]


def _signing(role: str, name: str, shop: str) -> list[Flowable]:
    columns = [
        [*p(f"{role}, {name}", styles.LEAD_IN), WritingLines(TO_SIGN, HALF)],
        [*p(shop, styles.LEAD_IN), WritingLines(TO_SIGN, HALF)],
    ]
    block = [
        Rule(before=0, after=5),
        *p(NOT_ADVICE, styles.CAUTION),
        Columns(columns, [HALF, HALF], gap=GAP, space_before=6),
        Gap(5),
    ]
    return [Together(block, before=10, at_foot=True)]
