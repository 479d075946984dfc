"""How a receipt is set out: who paid what and toward what, then what stood before and after it."""

from reportlab.platypus.flowables import Flowable

from instruments.documents import styles
from instruments.documents.content import Fact
from instruments.documents.dates import day_in_words
from instruments.documents.fingerprint import content_hash, in_fours
from instruments.documents.pieces import (
    Gap,
    Rule,
    Together,
    bulleted,
    facts_grid,
    heading,
    money_column,
)
from instruments.documents.sheet import WIDTH, Imprint, print_sheet
from instruments.documents.text import p
from shop.documents.letterhead import letterhead
from shop.documents.parties import two_parties
from shop.documents.receipt import ReceiptPaper

SUMS_WIDTH = WIDTH * 0.62


def lay_out(receipt: ReceiptPaper) -> bytes:
    title = f"{receipt.title} {receipt.number}"
    imprint = Imprint(
        title=title,
        subject=receipt.toward,
        shop_name=receipt.shop.name,
        number=receipt.number,
        dated=receipt.dated,
        content_hash=in_fours(content_hash(receipt)),
        running_head=title,
    )
    return print_sheet([*_head(receipt, title), *_sums(receipt), *_terms(receipt), *_tax(receipt)], imprint)


def _head(receipt: ReceiptPaper, title: str) -> list[Flowable]:
    return [
        *letterhead(receipt.shop, f"{title}\n{day_in_words(receipt.dated)}"),
        *p(title, styles.TITLE, kind="H1"),
        Rule(colour=styles.INK, before=7, after=6),
        *two_parties(receipt.shop, receipt.customer),
        Gap(6),
        *facts_grid(tuple(Fact(label, value) for label, value in receipt.facts if value)),
        *heading("For"),
        *p(receipt.toward, styles.BODY),
        Gap(4),
    ]


def _sums(receipt: ReceiptPaper) -> list[Flowable]:
    pieces = [Together([*heading("Sum"), *money_column(receipt.sums, width=SUMS_WIDTH)], before=4, after=6)]
    if receipt.stands:
        column = money_column(receipt.stands, width=SUMS_WIDTH)
        pieces.append(Together([*heading("What stands between us"), *column], before=8))
    return pieces


def _terms(receipt: ReceiptPaper) -> list[Flowable]:
    if not receipt.terms:
        return []
    lines = bulleted([p(words, styles.DATA) for words in receipt.terms], width=WIDTH)
    return [Together([*heading("What the deposit is"), *lines], before=8)]


def _tax(receipt: ReceiptPaper) -> list[Flowable]:
    words = [piece for line in receipt.tax_words for piece in p(line, styles.CAUTION)]
    return [Together([Rule(before=0, after=5), *words], before=10, at_foot=True)] if words else []
