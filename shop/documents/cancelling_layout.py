"""How the right to cancel is set out, and its form to be cut off: for a sale, an invoice, a home trial."""

from reportlab.platypus.flowables import Flowable

from instruments.documents import styles
from instruments.documents.dates import day_in_words
from instruments.documents.fingerprint import content_hash, in_fours
from instruments.documents.pieces import Gap, Rule, Together, WritingLines, heading
from instruments.documents.sheet import WIDTH, Imprint, print_sheet
from instruments.documents.text import p
from shop.documents.cancelling import ABOUT_THE_FORM, FORM_TITLE, TITLE, Cancelling
from shop.documents.letterhead import letterhead
from shop.documents.parties import two_parties

FORM_WIDTH = WIDTH * 0.48
TO_FILL_IN = ("It reached me on", "Name", "Address", "Signature", "Date")


def lay_out(cancelling: Cancelling) -> bytes:
    title = f"{TITLE}, sale {cancelling.number}"
    imprint = Imprint(
        title=title,
        subject=cancelling.goods,
        shop_name=cancelling.shop.name,
        number=cancelling.number,
        dated=cancelling.agreed_on,
        content_hash=in_fours(content_hash(cancelling)),
        running_head=title,
    )
    head = [
        *letterhead(cancelling.shop, f"Sale {cancelling.number}\n{day_in_words(cancelling.agreed_on)}"),
        *p(TITLE, styles.TITLE, kind="H1"),
        Rule(colour=styles.INK, before=7, after=6),
        *two_parties(cancelling.shop, cancelling.customer),
        Gap(8),
    ]
    return print_sheet([*head, *_told(cancelling), *_form(cancelling)], imprint)


def right_to_cancel(cancelling: Cancelling) -> list[Flowable]:
    """For the further page of another paper."""
    return [*heading(TITLE), *_told(cancelling), *_form(cancelling)]


def form_to_cut_off(about: str, declaration: str) -> list[Flowable]:
    return [
        *heading(FORM_TITLE),
        *p(about, styles.CAUTION),
        *p(declaration, styles.BODY),
        WritingLines(TO_FILL_IN, FORM_WIDTH),
    ]


def _told(cancelling: Cancelling) -> list[Flowable]:
    return [piece for words in cancelling.paragraphs for piece in [*p(words, styles.BODY), Gap(4)]]


def _form(cancelling: Cancelling) -> list[Flowable]:
    return [Together(form_to_cut_off(ABOUT_THE_FORM, cancelling.declaration), before=12)]
