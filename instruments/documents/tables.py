"""A plain table on paper: a head that stands above its rows, pale rules between them."""

from collections.abc import Iterable, Sequence

from reportlab.platypus.flowables import Flowable

from instruments.documents import styles
from instruments.documents.pieces import Rule, table_row
from instruments.documents.tags import Element
from instruments.documents.text import p

GAP = 8


def plain_table(
    headings: Sequence[str], rows: Iterable[Sequence[str]], widths: Sequence[float]
) -> list[Flowable]:
    """Widths in points, gaps between the columns included."""
    table = Element("Table")
    inner = [width - GAP for width in widths]
    whole = sum(widths)
    pieces: list[Flowable] = [
        table_row(table, [p(word, styles.LABEL) for word in headings], inner, kind="TH")
    ]
    for row in rows:
        pieces.append(Rule(whole, weight=0.35, before=0.5, after=0.5))
        pieces.append(table_row(table, [p(cell, styles.DATA) for cell in row], inner))
    return pieces
