"""How an invoice and a credit note are set out: one page, the sum where the eye falls."""

from reportlab.platypus.flowables import Flowable

from instruments.documents import pour, styles
from instruments.documents.content import Fact
from instruments.documents.dates import day_in_words
from instruments.documents.fingerprint import content_hash, in_fours
from instruments.documents.pieces import Gap, Rule, Together, facts_grid, heading, money_column
from instruments.documents.sheet import WIDTH, Imprint, print_sheet
from instruments.documents.text import p
from shop.documents.cancelling_layout import right_to_cancel
from shop.documents.invoice import Invoice
from shop.documents.letterhead import letterhead
from shop.documents.parties import two_parties

SUMS_WIDTH = WIDTH * 0.62


def lay_out(invoice: Invoice) -> bytes:
    imprint = Imprint(
        title=f"{invoice.title} {invoice.number}",
        subject=invoice.description,
        shop_name=invoice.shop.name,
        number=invoice.number,
        dated=invoice.dated,
        content_hash=in_fours(content_hash(invoice)),
        running_head=f"{invoice.title} {invoice.number}",
    )
    front = [*_head(invoice), *_what(invoice), *_sums(invoice), *_closing(invoice)]
    return print_sheet([*front, *_right_to_cancel(invoice)], imprint)


def _head(invoice: Invoice) -> list[Flowable]:
    reference = f"{invoice.title} {invoice.number}\n{day_in_words(invoice.dated)}"
    return [
        *letterhead(invoice.shop, reference),
        *p(f"{invoice.title} {invoice.number}", styles.TITLE, kind="H1"),
        Rule(colour=styles.INK, before=7, after=6),
        *two_parties(invoice.shop, invoice.customer),
        Gap(6),
        *facts_grid(tuple(Fact(label, value) for label, value in invoice.facts if value)),
    ]


def _what(invoice: Invoice) -> list[Flowable]:
    return [*heading("For"), *p(invoice.description, styles.BODY), Gap(4)]


def _sums(invoice: Invoice) -> list[Flowable]:
    pieces = [Together([*heading("Sum"), *money_column(invoice.sums, width=SUMS_WIDTH)], before=4, after=6)]
    pieces += [piece for words in invoice.wording for piece in p(words, styles.DATA_STRONG)]
    if invoice.payments:
        paid = [*heading("How it is paid"), *money_column(invoice.payments, width=SUMS_WIDTH)]
        pieces.append(Together(paid, before=8))
    if invoice.stages:
        agreed = [*heading("The stages agreed"), *money_column(invoice.stages, width=SUMS_WIDTH)]
        pieces.append(Together(agreed, before=8))
    return pieces


def _closing(invoice: Invoice) -> list[Flowable]:
    words = p(invoice.closing, styles.CAUTION)
    return [Together([Rule(before=0, after=5), *words], before=10, at_foot=True)] if words else []


def _right_to_cancel(invoice: Invoice) -> list[Flowable]:
    """On a page of its own, with the form to be cut off."""
    return [pour.NewPage(), *right_to_cancel(invoice.cancelling)] if invoice.cancelling else []
