"""How the one-page papers of a home trial are set out: who, what, and the places to sign at the foot."""

from reportlab.platypus.flowables import Flowable

from instruments.documents import styles
from instruments.documents.dates import day_in_words
from instruments.documents.fingerprint import content_hash, in_fours
from instruments.documents.pieces import (
    Rule,
    bulleted,
    facts_grid,
    heading,
    money_column,
)
from instruments.documents.sheet import WIDTH, Imprint, print_sheet
from instruments.documents.text import p
from shop.documents.letterhead import letterhead
from shop.documents.parties import two_parties
from shop.documents.signing_block import signing_block
from shop.documents.trial_slip import SlipPart, TrialSlip


def lay_out(slip: TrialSlip) -> bytes:
    imprint = Imprint(
        title=f"{slip.title} {slip.number}",
        subject=slip.sentence,
        shop_name=slip.shop.name,
        number=slip.number,
        dated=slip.dated,
        content_hash=in_fours(content_hash(slip)),
        running_head=f"{slip.title} {slip.number}",
    )
    parts = [piece for part in slip.parts for piece in _part(part)]
    return print_sheet([*_head(slip), *parts, *_signing(slip)], imprint)


def _head(slip: TrialSlip) -> list[Flowable]:
    return [
        *letterhead(slip.shop, f"{slip.title} {slip.number}\n{day_in_words(slip.dated)}"),
        *p(slip.title, styles.TITLE, kind="H1"),
        *p(slip.sentence, styles.SENTENCE),
        Rule(colour=styles.INK, before=7, after=6),
        *two_parties(slip.shop, slip.customer),
    ]


def _part(part: SlipPart) -> list[Flowable]:
    return [
        *heading(part.heading),
        *facts_grid(part.facts, across=3),
        *money_column(part.money),
        *bulleted([p(line, styles.DATA) for line in part.lines], width=WIDTH),
    ]


def _signing(slip: TrialSlip) -> list[Flowable]:
    signers = (
        (f"For {slip.shop.name}", slip.shop_signature),
        (slip.customer.name, slip.customer_signature),
    )
    return signing_block(signers, slip.cautions)
