"""How the one-page papers of a home trial are set out: who, what, and the places to sign at the foot."""

from reportlab.platypus.flowables import Flowable

from instruments.documents import styles
from instruments.documents.columns import Columns
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
from shop.documents.parties import two_parties
from shop.documents.signed_lines import ROOM_ABOVE, SignedLines
from shop.documents.trial_agreement import DrawnSignature
from shop.documents.trial_slip import SlipPart, TrialSlip
from shop.documents.trial_words import signed_words

GAP = 22
HALF = (WIDTH - GAP) / 2
TO_SIGN = ("Signature", "Name in capitals", "Date")


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
    cautions = [piece for caution in slip.cautions for piece in p(caution, styles.CAUTION)]
    signers = (
        (f"For {slip.shop.name}", slip.shop_signature),
        (slip.customer.name, slip.customer_signature),
    )
    columns = [
        [*p(name, styles.LEAD_IN), Gap(ROOM_ABOVE), _to_sign(signature)] for name, signature in signers
    ]
    block = [
        Rule(before=0, after=5),
        *cautions,
        Columns(columns, [HALF, HALF], gap=GAP, space_before=6),
        Gap(5),
    ]
    return [Together(block, before=10, at_foot=True)]


def _to_sign(signature: DrawnSignature | None) -> Flowable:
    if signature is None:
        return WritingLines(TO_SIGN, HALF)
    return SignedLines(TO_SIGN, (signature.name, signed_words(signature)), signature.drawing, HALF)
