"""A plain table on paper: a head that stands above its rows on every page, pale rules between them."""

from collections.abc import Iterable, Sequence

from reportlab.platypus.flowables import Flowable

from instruments.documents import fonts, pour, styles
from instruments.documents.pieces import Rule, table_row
from instruments.documents.tags import Element
from instruments.documents.text import p, printable

GAP = 8
LEAST_BEGINNING = 3  # head, rule and a row: fewer do not begin at the foot of a page
Cell = str | list[Flowable]


def plain_table(
    headings: Sequence[str], rows: Iterable[Sequence[Cell]], widths: Sequence[float]
) -> list[Flowable]:
    """Widths in points, gaps between the columns included. A cell is words, or pieces of its own."""
    table = Element("Table")
    inner = [width - GAP for width in widths]
    head = table_row(table, [p(word, styles.LABEL) for word in headings], inner, kind="TH")
    body: list[Flowable] = []
    for row in rows:
        body.append(_rule(sum(widths)))
        cells = [p(cell, styles.DATA) if isinstance(cell, str) else cell for cell in row]
        body.append(table_row(table, cells, inner))
    return [FlowingTable([head, *body], HeadAgain(headings, widths))]


class HeadAgain(Flowable):
    """The words of the head once more, over what goes on overleaf; read aloud they are passed over."""

    def __init__(self, headings: Sequence[str], widths: Sequence[float]):
        super().__init__()
        self.headings, self.widths = headings, widths

    def wrap(self, width, height):
        return sum(self.widths), styles.LABEL.leading

    def draw(self):
        style, x = styles.LABEL, 0
        with self.canv.artifact():
            self.canv.setFillColor(style.textColor)
            self.canv.setFont(fonts.SANS, style.fontSize)
            for word, width in zip(self.headings, self.widths, strict=True):
                self.canv.drawString(x, style.leading - style.fontSize, printable(word, fonts.SANS))
                x += width


class FlowingTable(Flowable):
    """Head and rows; where it is cut at the foot of a page, the head stands over the rest again."""

    def __init__(self, pieces: list[Flowable], head_again: HeadAgain):
        super().__init__()
        self.pieces, self.head_again = pieces, head_again
        self.width = sum(head_again.widths)

    def wrap(self, width, height):
        self.height = pour.height_of(self.pieces, self.width)
        return self.width, self.height

    def least_height(self, width):
        return pour.height_of(self.pieces[:LEAST_BEGINNING], self.width)

    def split(self, width, height):
        placed, left = pour.fill(self.pieces, self.width, height)
        begun = [each.piece for each in placed]
        if len(begun) < LEAST_BEGINNING or not left:
            return []
        rows = left[1:] if isinstance(left[0], Rule) else left
        again = [self.head_again, _rule(self.width), *rows]
        return [FlowingTable(begun, self.head_again), FlowingTable(again, self.head_again)]

    def draw(self):
        placed, _ = pour.fill(self.pieces, self.width, pour.ENDLESS)
        pour.draw(placed, self.canv, 0, self.height)


def _rule(width: float) -> Rule:
    return Rule(width, weight=0.35, before=0.5, after=0.5)
