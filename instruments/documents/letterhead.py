"""The head of a paper: whose it is, and which."""

from reportlab.platypus.flowables import Flowable

from instruments.documents import styles
from instruments.documents.columns import Columns
from instruments.documents.content import Party
from instruments.documents.pieces import Rule
from instruments.documents.sheet import WIDTH
from instruments.documents.text import p

RIGHT = 150


def letterhead(shop: Party, reference: str) -> list[Flowable]:
    """The shop's name and how to reach it on the left, the paper's reference on the right, a rule below."""
    where = ", ".join(line.strip() for line in shop.address.splitlines() if line.strip())
    reach = " \u00b7 ".join([each for each in (where, *shop.contacts) if each])
    left = [*p(shop.name, styles.LETTERHEAD), *p(reach, styles.LETTERHEAD_SMALL)]
    row = Columns([left, p(reference, styles.LETTERHEAD_RIGHT)], [WIDTH - RIGHT - 12, RIGHT])
    return [row, Rule(weight=0.7, colour=styles.INK, before=5, after=7)]
