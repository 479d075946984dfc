"""Where shop and customer sign side by side, drawn, typed or left to be written, under the cautions."""

from collections.abc import Sequence

from reportlab.platypus.flowables import Flowable

from instruments.documents import styles
from instruments.documents.columns import Columns
from instruments.documents.pieces import Gap, Rule, Together, WritingLines
from instruments.documents.sheet import WIDTH
from instruments.documents.text import p
from shop.documents.signed_lines import ROOM_ABOVE, SignedLines
from shop.documents.trial_agreement import ScreenSignature
from shop.documents.trial_words import signed_words

GAP = 22
HALF = (WIDTH - GAP) / 2
TO_SIGN = ("Signature", "Name in capitals", "Date")


def signing_block(
    signers: Sequence[tuple[str, ScreenSignature | None]], cautions: Sequence[str]
) -> list[Flowable]:
    """`signers` are names with their signature, or None where a pen is to do it. Kept together."""
    columns = [
        [*p(name, styles.LEAD_IN), Gap(ROOM_ABOVE), _to_sign(signature)] for name, signature in signers
    ]
    block = [
        Rule(before=0, after=5),
        *(piece for caution in cautions for piece in p(caution, styles.CAUTION)),
        Columns(columns, [HALF, HALF], gap=GAP, space_before=6),
        Gap(5),
    ]
    return [Together(block, before=10, at_foot=True)]


def _to_sign(signature: ScreenSignature | None) -> Flowable:
    if signature is None:
        return WritingLines(TO_SIGN, HALF)
    return SignedLines(TO_SIGN, signature.name, signed_words(signature), signature.drawing, HALF)
